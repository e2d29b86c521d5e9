//! One edit of every variant, each of which stands in the small garden when its coordinator makes it.

use selion_core::document::edit::{
    BedField, Claimable, JobField, MemberField, NewTurn, NoteBase, NoteOf, ProfileField, TaskField,
};
use selion_core::document::records::{EntryKind, GardenRules, Gate, Payer, Picked, Role};
use selion_core::document::{DocumentName, Edit};
use selion_core::geometry::{Line, Outline, Point};
use selion_core::ordered::Map;
use selion_core::quantities::{Currency, Day, Length, Mass, Minutes, Money, Units};

use super::ids;
use super::soil::of_soil;
use super::{GROUND, LEDGER, SEASON, YEAR};

macro_rules! kinds {
    ($($name:ident)*) => {
        /// The name of every variant of [`Edit`]. A new variant stops the build here; add it, and the checks that walk
        /// this list say what else it needs.
        pub(crate) const KINDS: &[&str] = &[$(stringify!($name)),*];

        /// The name of an edit's variant.
        pub(crate) fn kind(edit: &Edit) -> &'static str {
            match edit {
                $(Edit::$name { .. } => stringify!($name)),*
            }
        }
    };
}

kinds! {
    ChangeProfile OpenYear AddMember ChangeMember AddBed ChangeBed AddStructure EndStructure AddFenceLine EndFenceLine
    WriteNote AddTask ChangeTask Claim GiveBack HandOver Done NotDone AddTurns EndTurn LogPicking StrikePicking
    AddJob ChangeJob CloseJob LogHours StrikeHours AddOrder ChangeOrder CloseOrder AskFor EnterInvoice HandOut
    AddEntry ReverseEntry ConfirmEntry CarryOver
    AddSoilTest StrikeSoilTest SetBedCrops LogAmendment DigIn StrikeAmendment
    SplitBed MergeBeds DrawStructure ChangeStructure ChangeFenceLine
    AskCoordinator AnswerRequest
    CloseYear KeepCrop KeepRecipient Plant ChangePlanting MoveSeries MarkPlanting AcceptProposal LogHarvest NoteWeather
    StrikeWeather SetProposalAside ProposeAgain
}

/// The mark of the hours of job 2 in the small garden, as the coordinator saw them.
pub(crate) const HOURS_SEEN: &str = "9241ac3d08f477af";
pub(crate) fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

pub(crate) fn rectangle(x: i64, y: i64, width: i64, depth: i64) -> Outline {
    let corner = Point::from_mm(x, y);
    Outline::rectangle(corner, Length::from_mm(width), Length::from_mm(depth)).unwrap()
}

/// Every variant at least once, in the order of [`KINDS`], with the document it belongs into.
pub(crate) fn every_edit() -> Vec<(DocumentName, Edit)> {
    let mut all = Vec::new();
    all.extend(of_the_ground().into_iter().map(|edit| (GROUND, edit)));
    all.push((
        GROUND,
        note(NoteOf::Bed(ids::bed(1)), "Beans along the north edge"),
    ));
    all.push((SEASON, note(NoteOf::Task(ids::task(1)), "Mind the toads")));
    all.extend(of_tasks().into_iter().map(|edit| (SEASON, edit)));
    all.extend(of_picking().into_iter().map(|edit| (SEASON, edit)));
    all.extend(of_shared_work().into_iter().map(|edit| (SEASON, edit)));
    all.extend(
        super::orders::every()
            .into_iter()
            .map(|edit| (LEDGER, edit)),
    );
    all.extend(of_money().into_iter().map(|edit| (LEDGER, edit)));
    all.extend(of_soil());
    all.extend(super::plan::of_the_drawing());
    all.extend(of_requests().into_iter().map(|edit| (LEDGER, edit)));
    all.extend(super::plan::of_the_plan());
    all.extend(super::plan::of_later_fields());
    all
}

fn note(of: NoteOf, text: &str) -> Edit {
    Edit::WriteNote {
        of,
        text: text.to_owned(),
        base: NoteBase {
            heads: vec!["ab".repeat(32)],
            after: Some(ids::edit(40)),
        },
    }
}

fn of_the_ground() -> Vec<Edit> {
    let gate = Gate {
        at: Length::from_mm(2_000),
        width: Length::from_mm(1_200),
    };
    let corners = [Point::from_mm(0, 0), Point::from_mm(30_000, 0)];
    vec![
        Edit::ChangeProfile {
            set: vec![
                ProfileField::Name("Sorrel Bank Gardens".to_owned()),
                ProfileField::Units(Units::UsCustomary),
                ProfileField::Currency(Currency::new("USD").unwrap()),
                ProfileField::TimeZone("America/Halifax".to_owned()),
                ProfileField::NorthDegrees(12),
                ProfileField::Rules(GardenRules {
                    balances_open: true,
                    hour_in_lieu: Money::from_minor(1_500),
                    hours_by_area: 40,
                }),
            ],
        },
        Edit::OpenYear { year: YEAR + 1 },
        Edit::AddMember {
            member: ids::member(9),
            name: "Oriel".to_owned(),
            role: Role::Helper,
        },
        Edit::ChangeMember {
            member: ids::member(3),
            set: vec![
                MemberField::Name("Ash Lane".to_owned()),
                MemberField::Role(Role::Member),
                MemberField::EndedOn(None),
            ],
        },
        Edit::AddBed {
            bed: ids::bed(9),
            label: "D1".to_owned(),
            outline: rectangle(0, 20_000, 6_000, 1_200),
            holders: Map::from([(ids::member(2), 1)]),
        },
        Edit::ChangeBed {
            bed: ids::bed(2),
            set: vec![
                BedField::Label("A2 east".to_owned()),
                BedField::Outline(rectangle(0, 3_000, 8_000, 1_500)),
                BedField::Holders(Map::from([(ids::member(4), 2), (ids::member(2), 1)])),
                BedField::EndedOn(None),
            ],
        },
        Edit::AddStructure {
            structure: ids::structure(9),
            label: "Pond".to_owned(),
            outline: rectangle(20_000, 20_000, 3_000, 2_000),
        },
        Edit::EndStructure {
            structure: ids::structure(1),
            on: day("2026-05-02"),
        },
        Edit::AddFenceLine {
            fence: ids::fence(9),
            label: "South fence".to_owned(),
            line: Line::new(corners.to_vec()).unwrap(),
            gates: Map::from([("1".to_owned(), gate)]),
        },
        Edit::EndFenceLine {
            fence: ids::fence(1),
            on: day("2026-05-03"),
        },
    ]
}

fn of_tasks() -> Vec<Edit> {
    let of = Claimable::Task(ids::task(1));
    vec![
        Edit::AddTask {
            task: ids::task(9),
            title: "Turn the second pile".to_owned(),
            bed: Some(ids::bed(3)),
            day: Some(day("2026-04-18")),
            places: 2,
            minutes: Minutes::new(45),
            job: Some(ids::job(1)),
            note: "Forks are in the shed".to_owned(),
        },
        Edit::ChangeTask {
            task: ids::task(1),
            set: vec![
                TaskField::Title("Hoe between the rows".to_owned()),
                TaskField::Bed(Some(ids::bed(1))),
                TaskField::Day(Some(day("2026-04-20"))),
                TaskField::Places(3),
                TaskField::Minutes(Minutes::new(30)),
                TaskField::Job(None),
                TaskField::EndedOn(None),
            ],
        },
        Edit::Claim {
            of: Claimable::Task(ids::task(2)),
            claim: ids::claim(9),
        },
        Edit::GiveBack {
            of,
            claim: ids::claim(1),
        },
        Edit::HandOver {
            of,
            claim: ids::claim(1),
            to: ids::member(4),
            new_claim: ids::claim(10),
        },
        Edit::Done {
            of,
            claim: ids::claim(1),
            minutes: Minutes::new(50),
            on: day("2026-04-19"),
            word: "Stony at the far end".to_owned(),
        },
        Edit::NotDone {
            of,
            claim: ids::claim(2),
        },
    ]
}

fn of_picking() -> Vec<Edit> {
    vec![
        Edit::AddTurns {
            turns: vec![
                NewTurn {
                    turn: ids::turn(9),
                    bed: ids::bed(3),
                    day: day("2026-07-06"),
                    holder: Some((ids::member(2), ids::claim(11))),
                },
                NewTurn {
                    turn: ids::turn(10),
                    bed: ids::bed(3),
                    day: day("2026-07-09"),
                    holder: None,
                },
            ],
        },
        Edit::EndTurn {
            turn: ids::turn(1),
            on: day("2026-07-01"),
        },
        Edit::LogPicking {
            picking: ids::picking(9),
            bed: ids::bed(1),
            day: day("2026-07-06"),
            crop: "Runner beans".to_owned(),
            mass: Mass::from_grams(1_350),
            picked: Picked::GivenAway,
            turn: Some(ids::turn(1)),
            word: "Slug holes in some".to_owned(),
        },
        Edit::StrikePicking {
            picking: ids::picking(1),
            on: day("2026-07-07"),
        },
    ]
}

fn of_shared_work() -> Vec<Edit> {
    vec![
        Edit::AddJob {
            job: ids::job(9),
            title: "New fence on the south side".to_owned(),
            total: Minutes::new(40 * 60),
            beds_left_out: Map::from([(ids::bed(3), true)]),
        },
        Edit::ChangeJob {
            job: ids::job(1),
            set: vec![
                JobField::Title("Clear the ditch".to_owned()),
                JobField::Total(Minutes::new(20 * 60)),
                JobField::BedsLeftOut(Map::new()),
                JobField::EndedOn(None),
            ],
        },
        Edit::CloseJob {
            job: ids::job(2),
            on: day("2026-09-30"),
            seen: HOURS_SEEN.to_owned(),
        },
        Edit::LogHours {
            hours: ids::hours(9),
            job: ids::job(1),
            minutes: Minutes::new(90),
            day: day("2026-03-21"),
            word: "Roots".to_owned(),
        },
        Edit::StrikeHours {
            hours: ids::hours(1),
            on: day("2026-03-22"),
        },
    ]
}

fn of_money() -> Vec<Edit> {
    vec![
        Edit::AddEntry {
            entry: ids::entry(9),
            from: Payer::Garden,
            to: Payer::Member(ids::member(2)),
            kind: EntryKind::Payment,
            amount: Money::from_minor(1_250),
            day: day("2026-04-05"),
            order: Some(ids::order(1)),
            word: "In the tin".to_owned(),
        },
        Edit::ReverseEntry {
            entry: ids::entry(10),
            reverses: ids::entry(1),
            day: day("2026-04-06"),
            word: "Written twice".to_owned(),
        },
        Edit::ConfirmEntry {
            entry: ids::entry(2),
        },
        Edit::CarryOver {
            on: day("2026-01-02"),
            seen: super::orders::BALANCES_SEEN.to_owned(),
        },
    ]
}

fn of_requests() -> Vec<Edit> {
    vec![
        Edit::AskCoordinator {
            request: ids::request(9),
            about: Some(ids::order(1)),
            day: day("2026-03-21"),
            text: "Two bags more, if they can be had".to_owned(),
        },
        Edit::AnswerRequest {
            request: ids::request(1),
            on: day("2026-03-22"),
            word: "They can".to_owned(),
        },
    ]
}
