//! The return of everybody: sixty devices that were offline send what they wrote, all at once, and many of them want the
//! same tasks. Prints a table; fails if anything answered is lost or doubled.
//!
//! `cargo run --release -p selion-tests --bin storm [DEVICES [EDITS]]`. Everything stays on this machine.

use std::collections::{BTreeMap, BTreeSet};
use std::future::Future;
use std::io::Write as _;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use selion_core::document::edit::Claimable;
use selion_core::document::ids::{ClaimId, EditId, MemberId, TaskId};
use selion_core::document::records::{Place as _, Role};
use selion_core::document::{DocumentName, Edit, Envelope};
use selion_core::quantities::{Minutes, Moment};
use selion_core::sync::Replica;
use selion_core::sync::frame::{ClientFrame, ServerFrame, Verdict};
use selion_server::clock::{Clock as _, SystemClock};
use selion_tests::chance::Chance;
use selion_tests::loopback::{Line, Outcome, Phone, Program, serve};

/// One-person tasks that many want.
const WANTED: usize = 40;
/// Edits that each device writes one by one after the storm, waiting for each answer.
const ONE_BY_ONE: usize = 20;
/// Devices that write on a quiet day, one after the other, while all the others are told.
const QUIET_WRITERS: usize = 20;
/// Edits that each of them writes.
const QUIET_EDITS: usize = 10;
/// Nothing here takes longer than this.
const LONGEST: Duration = Duration::from_secs(300);

fn main() -> Outcome<()> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    if let [serving, data] = words.as_slice()
        && serving == "serve"
    {
        return serve(Path::new(data));
    }
    let number = |place: usize, most: u8, otherwise: u8| -> Outcome<u8> {
        let word = words.get(place);
        Ok(word
            .map_or(Ok(otherwise), |word| word.parse())?
            .clamp(1, most))
    };
    let (devices, edits) = (number(0, 200, 60)?, number(1, 200, 50)?);
    let folder = tempfile::tempdir()?;
    let mut command = Command::new(std::env::current_exe()?);
    command.arg("serve").arg(folder.path());
    let program = Program::start(command)?;
    actix_rt::System::new().block_on(async {
        let all = storm(&program, devices, edits);
        actix_rt::time::timeout(LONGEST, all).await?
    })
}

/// A device with what its person wrote and what came of it.
struct Device {
    phone: Phone,
    line: Line,
    chance: Chance,
    answered: BTreeMap<EditId, Verdict>,
    /// How many edits each frame carried, and how long it waited for their answers.
    waits: Vec<(usize, Duration)>,
}

async fn storm(program: &Program, devices: u8, edits: u8) -> Outcome<()> {
    let (season, wanted, devices) = set_up(program, devices).await?;
    let mut out = std::io::stdout();
    writeln!(
        out,
        "{:28}{:>8}{:>10}{:>10}{:>10}{:>10}",
        "", "edits", "took ms", "edits/s", "p50 ms", "p99 ms"
    )?;

    let written: Vec<(Device, Vec<Envelope>)> = devices
        .into_iter()
        .map(|mut device| {
            let edits = (0..edits)
                .map(|_| device.writes(season, &wanted))
                .collect::<Outcome<_>>()?;
            Ok((device, edits))
        })
        .collect::<Outcome<_>>()?;
    let begun = Instant::now();
    let mut devices = all(written
        .into_iter()
        .map(|(device, edits)| device.returns(edits)))
    .await?;
    writeln!(
        out,
        "{}",
        row("all at once, in batches", &mut devices, begun.elapsed())?
    )?;

    let begun = Instant::now();
    let mut devices = all(devices
        .into_iter()
        .map(|device| device.one_by_one(season, wanted.clone())))
    .await?;
    writeln!(
        out,
        "{}",
        row("one by one, all together", &mut devices, begun.elapsed())?
    )?;

    let begun = Instant::now();
    for device in devices.iter_mut().take(QUIET_WRITERS) {
        for _ in 0..QUIET_EDITS {
            let edit = device.writes(season, &wanted)?;
            device.sends(&[edit]).await?;
        }
    }
    writeln!(
        out,
        "{}",
        row("one by one, on a quiet day", &mut devices, begun.elapsed())?
    )?;

    let (lost, doubled) = check(&devices, season, &wanted).await?;
    writeln!(out, "lost {lost}, doubled {doubled}")?;
    if let Some(peak) = program.peak_memory_kib() {
        writeln!(
            out,
            "memory of the service at its peak: {} MiB",
            peak / 1024
        )?;
    }
    if lost + doubled > 0 {
        return Err("something that was answered is lost or doubled".into());
    }
    Ok(())
}

/// A garden with a person for each device, and the tasks that many of them want.
async fn set_up(
    program: &Program,
    devices: u8,
) -> Outcome<(DocumentName, Vec<TaskId>, Vec<Device>)> {
    let mut chance = Chance::of_seed(60);
    let mut ines = Phone::new(program.base(), 0);
    ines.make_garden(program.secret(), "Sorrel Bank").await?;
    let mut ines = Device::new(ines, chance.branch()).await?;
    let season = ines.greeted().await?;
    let tasks: Vec<TaskId> = (0..WANTED)
        .map(|_| TaskId::fresh(now(), chance.bytes()))
        .collect();
    let edits = tasks
        .iter()
        .map(|task| ines.envelope(season, add_task(*task)));
    let edits = edits.collect::<Outcome<Vec<_>>>()?;
    ines.sends(&edits).await?;
    let mut all = Vec::new();
    for number in 1..=devices {
        let member = MemberId::fresh(now(), chance.bytes());
        let name = format!("Member {number}");
        let add = ines.envelope(
            DocumentName::Ground,
            Edit::AddMember {
                member,
                name,
                role: Role::Member,
            },
        )?;
        ines.sends(&[add]).await?;
        let secret = ines.phone.invite(member).await?;
        let mut phone = Phone::new(program.base(), number);
        phone.join(&secret).await?;
        let mut device = Device::new(phone, chance.branch()).await?;
        device.greeted().await?;
        all.push(device);
    }
    Ok((season, tasks, all))
}

impl Device {
    async fn new(phone: Phone, chance: Chance) -> Outcome<Self> {
        let line = phone.line().await?;
        Ok(Self {
            phone,
            line,
            chance,
            answered: BTreeMap::new(),
            waits: Vec::new(),
        })
    }

    /// Says hello and gives the season that is open.
    async fn greeted(&mut self) -> Outcome<DocumentName> {
        self.line.hello().await?;
        loop {
            let heard = self
                .line
                .hear()
                .await?
                .ok_or("the service closed the socket")?;
            if let ServerFrame::Welcome { documents, .. } = heard {
                let season = documents
                    .into_keys()
                    .find(|name| matches!(name, DocumentName::Season(_)));
                return Ok(season.ok_or("no season is open")?);
            }
        }
    }

    fn envelope(&mut self, document: DocumentName, edit: Edit) -> Outcome<Envelope> {
        Ok(Envelope {
            version: Envelope::VERSION,
            id: EditId::fresh(now(), self.chance.bytes()),
            garden: self.phone.garden()?,
            document,
            written_at: now(),
            edit,
        })
    }

    /// Three of ten edits claim one of the tasks that everybody wants; the others put up tasks.
    fn writes(&mut self, season: DocumentName, wanted: &[TaskId]) -> Outcome<Envelope> {
        let claimed = if self.chance.in_a_thousand(300) {
            self.chance.pick(wanted)
        } else {
            None
        };
        let edit = match claimed {
            Some(task) => Edit::Claim {
                of: Claimable::Task(*task),
                claim: ClaimId::fresh(now(), self.chance.bytes()),
            },
            None => add_task(TaskId::fresh(now(), self.chance.bytes())),
        };
        self.envelope(season, edit)
    }

    async fn sends(&mut self, edits: &[Envelope]) -> Outcome<()> {
        // One batch at a time, as a phone does.
        for frame in ClientFrame::for_edits(edits) {
            let ClientFrame::Edits { edits } = &frame else {
                continue;
            };
            let asked = Instant::now();
            self.line.say(&frame).await?;
            let mut missing = edits.len();
            while missing > 0 {
                for answer in self.line.answers().await? {
                    missing = missing.saturating_sub(1);
                    self.answered.insert(answer.edit, answer.verdict);
                }
            }
            self.waits.push((edits.len(), asked.elapsed()));
        }
        Ok(())
    }

    async fn returns(mut self, edits: Vec<Envelope>) -> Outcome<Self> {
        self.sends(&edits).await?;
        Ok(self)
    }

    async fn one_by_one(mut self, season: DocumentName, wanted: Vec<TaskId>) -> Outcome<Self> {
        for _ in 0..ONE_BY_ONE {
            let edit = self.writes(season, &wanted)?;
            self.sends(&[edit]).await?;
        }
        Ok(self)
    }
}

/// Does all of it side by side.
async fn all<F>(work: impl Iterator<Item = F>) -> Outcome<Vec<Device>>
where
    F: Future<Output = Outcome<Device>> + 'static,
{
    let under_way: Vec<_> = work.map(actix_rt::spawn).collect();
    let mut done = Vec::new();
    for task in under_way {
        done.push(task.await??);
    }
    Ok(done)
}

/// A line of the table; the waits are taken out of the devices for it.
fn row(name: &str, devices: &mut [Device], took: Duration) -> Outcome<String> {
    let frames: Vec<(usize, Duration)> = devices
        .iter_mut()
        .flat_map(|device| device.waits.drain(..))
        .collect();
    let edits: usize = frames.iter().map(|(edits, _)| edits).sum();
    let mut waits: Vec<Duration> = frames.into_iter().map(|(_, wait)| wait).collect();
    waits.sort_unstable();
    let at = |hundredths: usize| {
        let place = (waits.len() * hundredths / 100).min(waits.len().saturating_sub(1));
        waits
            .get(place)
            .map_or(0.0, |wait| wait.as_secs_f64() * 1_000.0)
    };
    let per_second = f64::from(u32::try_from(edits)?) / took.as_secs_f64();
    Ok(format!(
        "{name:28}{edits:>8}{:>10}{per_second:>10.0}{:>10.1}{:>10.1}",
        took.as_millis(),
        at(50),
        at(99)
    ))
}

/// How many accepted edits the season lacks, and how many it carries twice. Also looks that each wanted task has one holder.
async fn check(
    devices: &[Device],
    season: DocumentName,
    wanted: &[TaskId],
) -> Outcome<(usize, usize)> {
    let first = devices.first().ok_or("there is no device")?;
    let mut line = first.phone.line().await?;
    line.hello().await?;
    let replica = loop {
        let heard = line.hear().await?.ok_or("the service closed the socket")?;
        if let ServerFrame::Snapshot {
            document, bytes, ..
        } = heard
            && document == season
        {
            let mut replica = Replica::empty(first.phone.garden()?, [1; 16]);
            replica.load(document, &bytes.0)?;
            break replica;
        }
    };
    for id in wanted {
        let (_, task) = replica.garden().task(*id).ok_or("a task is missing")?;
        if task.taken() > 1 {
            return Err("more people hold a task than it has places".into());
        }
    }
    let carried = replica.edits(season);
    let once: BTreeSet<EditId> = carried.iter().copied().collect();
    let answered = devices.iter().flat_map(|device| &device.answered);
    let accepted = answered.filter(|(_, verdict)| matches!(verdict, Verdict::Accepted { .. }));
    let lost = accepted.filter(|(edit, _)| !once.contains(edit)).count();
    Ok((lost, carried.len() - once.len()))
}

fn add_task(task: TaskId) -> Edit {
    Edit::AddTask {
        task,
        title: "Weed the path".to_owned(),
        bed: None,
        day: None,
        places: 1,
        minutes: Minutes::new(30),
        job: None,
        note: String::new(),
    }
}

fn now() -> Moment {
    SystemClock.now()
}
