//! A garden of two hundred beds and fifteen hundred plantings, made through ordinary edits into a folder of data: to look at how
//! a large plan draws, pans and zooms on a phone.
//!
//! `cargo run --release -p selion-tests --bin large_ground FOLDER [BEDS [PLANTINGS]]`, then `selion serve --data FOLDER` and the
//! link that was printed. Everything stays on this machine.

use std::io::Write as _;
use std::path::Path;
use std::process::Command;

use selion_core::document::edit::NewPlanting;
use selion_core::document::ids::{BedId, EditId, FenceId, MemberId, PlantingId, StructureId};
use selion_core::document::records::{PlantingRows, Role, StartsAs, StructureFacts, StructureKind};
use selion_core::document::{DocumentName, Edit, Envelope};
use selion_core::geometry::{Line as Way, Outline, Point};
use selion_core::ordered::Map;
use selion_core::quantities::{Day, Length, Moment};
use selion_core::sync::frame::{ClientFrame, ServerFrame, Verdict};
use selion_server::clock::{Clock as _, SystemClock};
use selion_tests::chance::Chance;
use selion_tests::loopback::{Line, Outcome, Phone, Program, serve};

/// Beds of a row, side by side.
const ROW: usize = 20;
const CROPS: [&str; 5] = ["carrot", "beet", "lettuce, leaf", "bean, snap", "onion"];

fn main() -> Outcome<()> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    if let [serving, data] = words.as_slice()
        && serving == "serve"
    {
        return serve(Path::new(data));
    }
    let folder = words.first().ok_or("the folder for the data is missing")?;
    let number = |place: usize, otherwise: usize| -> Outcome<usize> {
        let word = words.get(place);
        Ok(word
            .map_or(Ok(otherwise), |word| word.parse())?
            .clamp(1, 5_000))
    };
    let (beds, plantings) = (number(1, 200)?, number(2, 1_500)?);
    let mut command = Command::new(std::env::current_exe()?);
    command.arg("serve").arg(folder);
    let program = Program::start(command)?;
    let secret = actix_rt::System::new().block_on(made(&program, beds, plantings))?;
    writeln!(
        std::io::stdout(),
        "{beds} beds and {plantings} plantings are in {folder}; sign in at /join#{secret}"
    )?;
    Ok(())
}

/// Makes it all and gives the secret that signs a second coordinator in.
async fn made(program: &Program, beds: usize, plantings: usize) -> Outcome<String> {
    let mut hand = Hand::new(program).await?;
    let season = hand.greeted().await?;
    let (ground, ids) = hand.ground(beds)?;
    hand.send(DocumentName::Ground, ground).await?;
    let planted = hand.plantings(&ids, plantings)?;
    hand.send(season, planted).await?;
    let member = MemberId::fresh(now(), hand.chance.bytes());
    let add = Edit::AddMember {
        member,
        name: "Second coordinator".to_owned(),
        role: Role::Coordinator,
    };
    hand.send(DocumentName::Ground, vec![add]).await?;
    hand.phone.invite(member).await
}

/// The phone that writes it all.
struct Hand {
    phone: Phone,
    line: Line,
    chance: Chance,
}

impl Hand {
    async fn new(program: &Program) -> Outcome<Self> {
        let mut phone = Phone::new(program.base(), 0);
        phone
            .make_garden(program.secret(), "Sorrel Bank, large")
            .await?;
        let line = phone.line().await?;
        let chance = Chance::of_seed(200);
        Ok(Self {
            phone,
            line,
            chance,
        })
    }

    /// Says hello and gives the season that is open.
    async fn greeted(&mut self) -> Outcome<DocumentName> {
        self.line.hello().await?;
        loop {
            let heard = self.line.hear().await?;
            let heard = heard.ok_or("the service closed the socket")?;
            if let ServerFrame::Welcome { documents, .. } = heard {
                let mut names = documents.into_keys();
                let season = names.find(|name| matches!(name, DocumentName::Season(_)));
                return season.ok_or_else(|| "no season is open".into());
            }
        }
    }

    /// Beds of 1.2 m by 6 m with paths between, a few structures, and a fence all round.
    fn ground(&mut self, beds: usize) -> Outcome<(Vec<Edit>, Vec<BedId>)> {
        let (mut edits, mut ids) = (Vec::new(), Vec::new());
        let place =
            |number: usize, apart: i64| -> Outcome<i64> { Ok(i64::try_from(number)? * apart) };
        for number in 0..beds {
            let bed = BedId::fresh(now(), self.chance.bytes());
            let corner = Point::from_mm(place(number % ROW, 1_800)?, place(number / ROW, 7_000)?);
            edits.push(Edit::AddBed {
                bed,
                label: format!("{}", number + 1),
                outline: Outline::rectangle(
                    corner,
                    Length::from_mm(1_200),
                    Length::from_mm(6_000),
                )?,
                holders: Map::new(),
            });
            ids.push(bed);
        }
        let (wide, deep) = (place(ROW, 1_800)?, place(beds.div_ceil(ROW), 7_000)?);
        for (kind, number) in StructureKind::ALL.into_iter().zip(0..) {
            let centre = Point::from_mm(wide + 3_000, number * 5_000);
            edits.push(Edit::DrawStructure {
                structure: StructureId::fresh(now(), self.chance.bytes()),
                label: kind.shown().to_owned(),
                outline: Outline::circle(centre, Length::from_mm(3_000))?,
                what: StructureFacts {
                    kind,
                    facing: Some(45),
                    reach: Some(Length::from_mm(4_000)),
                    fall: Some(4),
                    height: None,
                },
            });
        }
        let corners = [
            (-2_000, -2_000),
            (wide + 6_000, -2_000),
            (wide + 6_000, deep + 2_000),
            (-2_000, deep + 2_000),
            (-2_000, -2_000),
        ];
        edits.push(Edit::AddFenceLine {
            fence: FenceId::fresh(now(), self.chance.bytes()),
            label: "All round".to_owned(),
            line: Way::new(corners.map(|(x, y)| Point::from_mm(x, y)).to_vec())?,
            gates: Map::new(),
        });
        Ok((edits, ids))
    }

    fn plantings(&mut self, beds: &[BedId], count: usize) -> Outcome<Vec<Edit>> {
        let first = Day::parse("2026-04-01")?;
        let mut edits = Vec::new();
        for number in 0..count {
            let bed = *beds.get(number % beds.len()).ok_or("no bed")?;
            let crop = CROPS.get(number % CROPS.len()).ok_or("no crop")?;
            let new = NewPlanting {
                bed,
                crop: (*crop).to_owned(),
                cover: false,
                part: None,
                rows: PlantingRows::default(),
                start: first.plus_days(self.chance.between(0, 180)),
                starts_as: StartsAs::Sown,
                first_picking: None,
                last_picking: None,
                word: String::new(),
            };
            let planting = PlantingId::fresh(now(), self.chance.bytes());
            edits.push(Edit::Plant {
                plantings: Map::from([(planting, new)]),
                series: None,
            });
        }
        Ok(edits)
    }

    /// Sends edits in batches, and waits for every answer; one that is refused ends it.
    async fn send(&mut self, document: DocumentName, edits: Vec<Edit>) -> Outcome<()> {
        let mut envelopes = Vec::new();
        for edit in edits {
            envelopes.push(Envelope {
                version: Envelope::VERSION,
                id: EditId::fresh(now(), self.chance.bytes()),
                garden: self.phone.garden()?,
                document,
                written_at: now(),
                edit,
            });
        }
        for frame in ClientFrame::for_edits(&envelopes) {
            let ClientFrame::Edits { edits } = &frame else {
                continue;
            };
            self.line.say(&frame).await?;
            let mut missing = edits.len();
            while missing > 0 {
                for answer in self.line.answers().await? {
                    missing = missing.saturating_sub(1);
                    if let Verdict::Refused(refused) = answer.verdict {
                        return Err(refused.message.into());
                    }
                }
            }
        }
        Ok(())
    }
}

fn now() -> Moment {
    SystemClock.now()
}
