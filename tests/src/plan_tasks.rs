//! Tasks that came from the plan: accepted one by one and by rule, set aside, proposed again; and what a change of the plan
//! does to them on phones without a signal.

use selion_core::document::edit::{
    AcceptedTask, Claimable, MemberField, PlantingField, ProfileField,
};
use selion_core::document::ids::TaskId;
use selion_core::document::proposals::{self, Kind, Proposal};
use selion_core::document::records::{PlantingState, Role};
use selion_core::document::season_plan::Books;
use selion_core::document::{Edit, Garden};
use selion_core::ordered::Map;
use selion_core::policy::{RefusalCode, Told};
use selion_core::quantities::Minutes;
use selion_core::sync::{LocalCopy, Notice};

use crate::network::{Faults, World};
use crate::small_garden::{GROUND, SEASON, SmallGarden, day, ids, ines, wren};

const INES: usize = 0;
const WREN: usize = 1;
/// Long enough for everything under way to arrive.
const A_WHILE: i64 = 120_000;

fn world() -> World {
    World::new(1, Faults::none(), &[ines(), wren()])
}

fn proposed(garden: &Garden, today: &str) -> Vec<Proposal> {
    proposals::all(garden, &Books::of(garden).unwrap(), day(today))
}

fn first_of(garden: &Garden, kind: Kind, today: &str) -> Proposal {
    let found = proposed(garden, today);
    found.into_iter().find(|it| it.kind == kind).unwrap()
}

fn by_rule(kinds: &[&str]) -> Edit {
    let kinds = kinds.iter().map(|kind| ((*kind).to_owned(), true));
    Edit::ChangeProfile {
        set: vec![ProfileField::Accept(kinds.collect())],
    }
}

fn coordinator() -> Edit {
    Edit::ChangeMember {
        member: wren(),
        set: vec![MemberField::Role(Role::Coordinator)],
    }
}

fn start(to: &str) -> Edit {
    Edit::ChangePlanting {
        planting: ids::planting(1),
        set: vec![PlantingField::Start(day(to))],
    }
}

fn from_plan(garden: &Garden) -> Vec<(TaskId, &str)> {
    let tasks = garden.seasons[&2026].tasks.iter();
    tasks
        .filter(|(_, task)| task.ended_on.is_none())
        .filter_map(|(id, task)| Some((*id, task.from.as_deref()?)))
        .collect()
}

/// What the phone of whoever may accept writes when it has worked the proposals out.
fn accepts_by_rule(world: &mut World, phone: usize, today: &str) -> usize {
    let garden = world.copy(phone).garden().clone();
    let edits = proposals::to_accept(&garden, &proposed(&garden, today));
    let count = edits.len();
    for (document, edit) in edits {
        world.write(phone, document, edit).unwrap();
    }
    count
}

#[test]
fn two_coordinators_phones_that_accept_by_rule_without_a_signal_make_one_task_of_each() {
    let mut world = world();
    world.write(INES, GROUND, coordinator()).unwrap();
    world
        .write(INES, GROUND, by_rule(&["sow", "thin"]))
        .unwrap();
    world.run_for(A_WHILE);
    world.loses_signal(INES);
    world.loses_signal(WREN);
    let today = "2026-04-15";
    let written = accepts_by_rule(&mut world, INES, today);
    assert_eq!((written, accepts_by_rule(&mut world, WREN, today)), (1, 1));
    // What stands on the phone already is not written again.
    assert_eq!(accepts_by_rule(&mut world, WREN, today), 0);
    let sow = TaskId::of_key(&format!("sow:{}", ids::planting(1)));
    // Wren claims it on the phone, before anybody has heard of it.
    let of = Claimable::Task(sow);
    let claim = ids::claim(50);
    world
        .write(WREN, SEASON, Edit::Claim { of, claim })
        .unwrap();
    world.has_signal(INES);
    world.run_for(A_WHILE);
    world.has_signal(WREN);
    world.run_for(A_WHILE);
    for phone in [INES, WREN] {
        let garden = world.copy(phone).garden();
        assert_eq!(from_plan(garden).len(), 1, "phone {phone}");
        let (_, task) = garden.task(sow).unwrap();
        assert!(task.claims.contains_key(&claim), "and the claim stands");
    }
    assert!(world.copy(WREN).outbox().set_aside().is_empty());
    world.settle();
    world.check_all();
}

#[test]
fn a_claim_and_a_move_without_a_signal_neither_moves_who_claimed_nor_leaves_anybody_untold() {
    let of_sow = |world: &World| first_of(world.copy(INES).garden(), Kind::Sow, "2026-04-15");
    for claim_arrives_first in [true, false] {
        let mut world = world();
        let sow = of_sow(&world);
        world.write(INES, SEASON, sow.accepted()).unwrap();
        world.run_for(A_WHILE);
        world.loses_signal(INES);
        world.loses_signal(WREN);
        let of = Claimable::Task(sow.task());
        let claim = ids::claim(50);
        world
            .write(WREN, SEASON, Edit::Claim { of, claim })
            .unwrap();
        world.write(INES, SEASON, start("2026-04-27")).unwrap();
        let (first, second) = if claim_arrives_first {
            (WREN, INES)
        } else {
            (INES, WREN)
        };
        world.has_signal(first);
        world.run_for(A_WHILE);
        world.has_signal(second);
        world.run_for(A_WHILE);
        let day_on = |copy: &LocalCopy| copy.garden().task(sow.task()).unwrap().1.day.unwrap();
        if claim_arrives_first {
            assert_eq!(day_on(world.copy(WREN)), day("2026-04-20"), "it stays");
            assert_eq!(world.told(INES), [Notice::ClaimedStay { tasks: 1 }]);
            assert_eq!(world.told(WREN), [Notice::PlanMoved { of }]);
        } else {
            // Nobody had claimed it when the move arrived.
            assert_eq!(day_on(world.copy(WREN)), day("2026-04-27"));
            let from = Some(day("2026-04-20"));
            assert_eq!(world.told(WREN), [Notice::Moved { of, from }]);
            assert_eq!(world.told(INES), []);
        }
        assert_eq!(day_on(world.copy(INES)), day_on(world.copy(WREN)));
        world.settle();
        world.check_all();
    }
}

#[test]
fn what_is_set_aside_is_proposed_no_more_until_somebody_proposes_it_again() {
    let mut garden = SmallGarden::new();
    let today = "2026-04-15";
    let sow = first_of(garden.replica.garden(), Kind::Sow, today);
    let aside = Edit::SetProposalAside {
        task: sow.task(),
        accepted: sow.as_task(),
        on: day(today),
    };
    garden.does(ines(), SEASON, aside.clone());
    let is_proposed = |garden: &SmallGarden| {
        let found = proposed(garden.replica.garden(), today);
        found.iter().any(|it| it.key == sow.key)
    };
    assert!(!is_proposed(&garden));
    // Nor does a rule, or a phone that had not heard of it, make a task of it.
    let applied = garden.does(ines(), SEASON, sow.accepted());
    assert!(applied.change.is_none() && from_plan(garden.replica.garden()).is_empty());
    assert!(
        garden.does(ines(), SEASON, aside).change.is_none(),
        "twice is once"
    );
    let again = Edit::ProposeAgain {
        task: sow.task(),
        on: day(today),
    };
    let refused = garden.tries(wren(), SEASON, again.clone()).unwrap_err();
    assert_eq!(refused.code, RefusalCode::NotAllowed);
    garden.does(ines(), SEASON, again.clone());
    assert!(is_proposed(&garden));
    assert!(garden.does(ines(), SEASON, again.clone()).change.is_none());
    garden.does(ines(), SEASON, sow.accepted());
    assert_eq!(
        from_plan(garden.replica.garden()),
        [(sow.task(), sow.key.as_str())]
    );
    // An acceptance is taken back as long as nobody has claimed.
    let (of, claim) = (Claimable::Task(sow.task()), ids::claim(50));
    garden.does(wren(), SEASON, Edit::Claim { of, claim });
    let refused = garden.tries(ines(), SEASON, again.clone()).unwrap_err();
    assert_eq!(refused.code, RefusalCode::PlacesTaken);
    garden.does(wren(), SEASON, Edit::GiveBack { of, claim });
    garden.does(ines(), SEASON, again);
    assert!(is_proposed(&garden));
    garden.does(ines(), SEASON, sow.accepted());
    let (_, task) = garden.replica.garden().task(sow.task()).unwrap();
    assert!(task.claims.contains_key(&claim), "what was is kept");
}

fn accept(kind: &str, planting: u8, number: &str, task: u8, on: &str) -> Edit {
    Edit::AcceptProposal {
        task: ids::task(task),
        accepted: AcceptedTask {
            key: format!("{kind}:{}{number}", ids::planting(planting)),
            title: kind.to_owned(),
            bed: Some(ids::bed(3)),
            day: day(on),
            places: 1,
            minutes: Minutes::new(40),
        },
    }
}

fn task_day(garden: &SmallGarden, task: u8) -> String {
    let (_, task) = garden.replica.garden().task(ids::task(task)).unwrap();
    task.day.unwrap().to_string()
}

#[test]
fn a_series_counts_the_claimed_tasks_of_all_its_plantings_once() {
    let mut garden = SmallGarden::new();
    for (task, planting, on) in [(20, 1, "2026-04-20"), (21, 2, "2026-05-18")] {
        garden.does(ines(), SEASON, accept("sow", planting, "", task, on));
        let (of, claim) = (Claimable::Task(ids::task(task)), ids::claim(task));
        garden.does(wren(), SEASON, Edit::Claim { of, claim });
    }
    let series = ids::series(1);
    let applied = garden.does(ines(), SEASON, Edit::MoveSeries { series, days: 3 });
    assert_eq!(applied.told, Some(Told::ClaimedStay(2)));
    // Moved back, they stand where the plan has them, and nothing is told.
    let applied = garden.does(ines(), SEASON, Edit::MoveSeries { series, days: -3 });
    assert_eq!(applied.told, None);
    for task in [20, 21] {
        let (_, task) = garden.replica.garden().task(ids::task(task)).unwrap();
        assert_eq!(task.plan_now, None);
    }
}

#[test]
fn picking_moves_with_the_first_picking_and_clearing_with_the_last() {
    let mut garden = SmallGarden::new();
    let set = |set: Vec<PlantingField>| Edit::ChangePlanting {
        planting: ids::planting(1),
        set,
    };
    let days = |first: &str, last: &str| {
        vec![
            PlantingField::FirstPicking(Some(day(first))),
            PlantingField::LastPicking(Some(day(last))),
        ]
    };
    garden.does(ines(), SEASON, set(days("2026-07-01", "2026-07-20")));
    garden.does(ines(), SEASON, accept("pick", 1, ":1", 20, "2026-07-01"));
    garden.does(ines(), SEASON, accept("clear", 1, "", 21, "2026-07-21"));
    garden.does(ines(), SEASON, accept("thin", 1, "", 22, "2026-05-11"));
    garden.does(ines(), SEASON, set(days("2026-07-04", "2026-07-30")));
    let all = |garden: &SmallGarden| [20, 21, 22].map(|task| task_day(garden, task));
    assert_eq!(all(&garden), ["2026-07-04", "2026-07-31", "2026-05-11"]);
    // Sown later, what people said about picking stands; thinning waits for the seedlings.
    garden.does(ines(), SEASON, start("2026-04-25"));
    assert_eq!(all(&garden), ["2026-07-04", "2026-07-31", "2026-05-16"]);
}

#[test]
fn sown_by_mistake_and_taken_back_the_sowing_is_asked_for_again() {
    let mut garden = SmallGarden::new();
    garden.does(ines(), SEASON, accept("sow", 1, "", 20, "2026-04-20"));
    garden.does(ines(), SEASON, accept("thin", 1, "", 21, "2026-05-11"));
    let mark = |state, on: &str| Edit::MarkPlanting {
        planting: ids::planting(1),
        state,
        on: day(on),
    };
    let off = |garden: &SmallGarden, task: u8| {
        let (_, task) = garden.replica.garden().task(ids::task(task)).unwrap();
        task.ended_on.is_some()
    };
    garden.does(wren(), SEASON, mark(PlantingState::Standing, "2026-04-18"));
    assert!(off(&garden, 20) && !off(&garden, 21));
    garden.does(wren(), SEASON, mark(PlantingState::Planned, "2026-04-18"));
    assert!(!off(&garden, 20));
    garden.does(wren(), SEASON, mark(PlantingState::Standing, "2026-04-18"));
    garden.does(wren(), SEASON, mark(PlantingState::Cleared, "2026-05-01"));
    assert!(off(&garden, 21));
    garden.does(wren(), SEASON, mark(PlantingState::Standing, "2026-04-18"));
    assert!(!off(&garden, 21), "the rows stand after all");
    // Who said they would sow is told that it was done, and is not sent away.
    garden.does(wren(), SEASON, mark(PlantingState::Planned, "2026-04-18"));
    let (of, claim) = (Claimable::Task(ids::task(20)), ids::claim(50));
    garden.does(wren(), SEASON, Edit::Claim { of, claim });
    let applied = garden.does(ines(), SEASON, mark(PlantingState::Standing, "2026-04-18"));
    assert_eq!(applied.told, Some(Told::ClaimedStay(1)));
    let (_, task) = garden.replica.garden().task(ids::task(20)).unwrap();
    assert!(task.ended_on.is_none());
    assert_eq!(task.plan_now.unwrap().off, Some(day("2026-04-18")));
}

#[test]
fn by_rule_writes_only_agreed_kinds_into_open_seasons_and_not_without_end() {
    let mut garden = SmallGarden::new();
    let today = "2026-04-15";
    let to_accept = |garden: &SmallGarden| {
        let garden = garden.replica.garden();
        proposals::to_accept(garden, &proposed(garden, today))
    };
    assert!(to_accept(&garden).is_empty(), "nothing was agreed on");
    garden.does(ines(), GROUND, by_rule(&["sow"]));
    let found = to_accept(&garden);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].0, SEASON);
    for number in 0..60 {
        let plantings = Map::from([(
            ids::planting(100 + number),
            crate::small_garden::carrots(3, "2026-04-21"),
        )]);
        let series = None;
        garden.does(ines(), SEASON, Edit::Plant { plantings, series });
    }
    assert_eq!(to_accept(&garden).len(), 40, "the rest at the next look");
}
