//! What a plan asks for through the year, what the year gave, and how it ends.

use std::collections::BTreeSet;

use proptest::prelude::*;
use selion_core::document::edit::{BedField, NewHarvest, NewPlanting, ProfileField, Reading};
use selion_core::document::proposals::{self, Kind, Proposal};
use selion_core::document::records::{
    Harvest, HarvestUnit, PlantingState, StructureFacts, StructureKind,
};
use selion_core::document::season_plan::Books;
use selion_core::document::{Edit, Garden, harvest_totals, season_turn, weather_days};
use selion_core::exchange::ghcn;
use selion_core::ordered::Map;
use selion_core::quantities::{Day, Depth, Latitude, Moment, Temperature};
use selion_core::season::heat::{self, Method};

use crate::small_garden::{
    GROUND, SEASON, SmallGarden, YEAR, ash, carrots, day, ids, ines, rectangle, wren,
};

fn of(bed: u8, crop: &str, start: &str) -> NewPlanting {
    NewPlanting {
        crop: crop.to_owned(),
        ..carrots(bed, start)
    }
}

fn plant(garden: &mut SmallGarden, number: u8, new: NewPlanting) {
    let plantings = Map::from([(ids::planting(number), new)]);
    let series = None;
    garden.does(ines(), SEASON, Edit::Plant { plantings, series });
}

fn proposed(garden: &Garden, today: &str) -> Vec<Proposal> {
    proposals::all(garden, &Books::of(garden).unwrap(), day(today))
}

fn of_kind(found: &[Proposal], wanted: Kind) -> Vec<&Proposal> {
    found
        .iter()
        .filter(|proposal| proposal.kind == wanted)
        .collect()
}

#[test]
fn every_stage_of_a_planting_is_proposed_when_its_time_comes() {
    let mut garden = SmallGarden::new();
    plant(&mut garden, 40, of(1, "squash, summer", "2026-06-01"));
    let garden = garden.replica.garden();
    let sow = proposed(garden, "2026-04-15");
    let carrots = of_kind(&sow, Kind::Sow);
    assert_eq!(
        carrots.len(),
        1,
        "the second sowing is more than two weeks away"
    );
    assert_eq!(
        (carrots[0].day, carrots[0].bed),
        (day("2026-04-20"), Some(ids::bed(3)))
    );
    assert_eq!(carrots[0].key, format!("sow:{}", ids::planting(1)));
    // 15 min and 3 min for each of 20 m².
    assert_eq!(
        (carrots[0].places, carrots[0].minutes.result.get()),
        (1, 75)
    );
    let thin = proposed(garden, "2026-05-04");
    assert_eq!(of_kind(&thin, Kind::Thin)[0].day, day("2026-05-11"));
    // Summer squash is picked every 1 to 5 days by the table, and looked over once a week for eggs that hatch in seven days.
    let summer = proposed(garden, "2026-08-01");
    let scouts = of_kind(&summer, Kind::Scout);
    let days: Vec<i64> = scouts
        .windows(2)
        .map(|two| two[0].day.days_until(two[1].day))
        .collect();
    assert!(
        !days.is_empty() && days.iter().all(|days| *days == 7),
        "{days:?}"
    );
    assert!(!of_kind(&summer, Kind::Pick).is_empty());
    let keys: BTreeSet<&str> = summer.iter().map(|it| it.key.as_str()).collect();
    assert_eq!(
        keys.len(),
        summer.len(),
        "every proposal has a key of its own"
    );
}

#[test]
fn keys_stay_when_the_plan_moves_and_what_is_a_task_is_proposed_no_more() {
    let mut garden = SmallGarden::new();
    let today = "2026-04-15";
    let before = proposed(garden.replica.garden(), today);
    let sow = of_kind(&before, Kind::Sow)[0].clone();
    let series = ids::series(1);
    garden.does(ines(), SEASON, Edit::MoveSeries { series, days: 2 });
    let moved = proposed(garden.replica.garden(), today);
    assert_eq!(of_kind(&moved, Kind::Sow)[0].key, sow.key);
    garden.does(ines(), SEASON, sow.accepted());
    let (_, task) = garden.replica.garden().task(sow.task()).unwrap();
    assert_eq!(
        (task.title.as_str(), task.day),
        ("Sow carrot", Some(day("2026-04-20")))
    );
    let after = proposed(garden.replica.garden(), today);
    assert!(of_kind(&after, Kind::Sow).is_empty());
}

#[test]
fn only_kinds_that_the_garden_agreed_on_go_by_rule() {
    let mut garden = SmallGarden::new();
    let agree = |kinds: &[(&str, bool)]| Edit::ChangeProfile {
        set: vec![ProfileField::Accept(
            kinds
                .iter()
                .map(|(kind, yes)| ((*kind).to_owned(), *yes))
                .collect(),
        )],
    };
    let by_rule = |garden: &SmallGarden| {
        let garden = garden.replica.garden();
        let all = proposed(garden, "2026-04-15");
        let kinds: Vec<Kind> = proposals::by_rule(garden, &all)
            .iter()
            .map(|it| it.kind)
            .collect();
        kinds
    };
    assert!(by_rule(&garden).is_empty());
    garden.does(
        ines(),
        GROUND,
        agree(&[("sow", true), ("walk_fence", true)]),
    );
    assert!(by_rule(&garden).contains(&Kind::Sow));
    garden.does(ines(), GROUND, agree(&[("sow", false)]));
    assert!(!by_rule(&garden).contains(&Kind::Sow));
    assert!(by_rule(&garden).iter().all(|kind| *kind == Kind::WalkFence));
}

#[test]
fn the_ground_asks_for_its_pile_its_fence_and_a_hoe_after_rain() {
    let mut garden = SmallGarden::new();
    let bay = Edit::DrawStructure {
        structure: ids::structure(20),
        label: "Bay 1".to_owned(),
        outline: rectangle(30_000, 0, 1_500, 1_500),
        what: StructureFacts {
            kind: StructureKind::Compost,
            ..StructureFacts::default()
        },
    };
    garden.does(ines(), GROUND, bay);
    let mark = Edit::MarkPlanting {
        planting: ids::planting(1),
        state: PlantingState::Standing,
        on: day("2026-04-01"),
    };
    garden.does(ash(), SEASON, mark);
    let garden = garden.replica.garden();
    // The gauge showed 12.7 mm on 10 April.
    let found = proposed(garden, "2026-04-11");
    let hoe = of_kind(&found, Kind::Hoe);
    assert_eq!(hoe.len(), 1, "only where something stands");
    assert_eq!(
        (hoe[0].bed, hoe[0].day),
        (Some(ids::bed(3)), day("2026-04-13"))
    );
    assert_eq!(of_kind(&found, Kind::TurnPile).len(), 1);
    assert_eq!(of_kind(&found, Kind::WalkFence).len(), 1);
    let winter = proposed(garden, "2026-12-20");
    assert!(of_kind(&winter, Kind::TurnPile).is_empty());
    assert!(of_kind(&winter, Kind::Hoe).is_empty());
}

fn harvest(number: u8, crop: &str, parts: Harvest) -> Edit {
    Edit::LogHarvest {
        picking: ids::picking(number),
        harvest: NewHarvest {
            bed: ids::bed(1),
            day: day("2026-07-10"),
            crop: crop.to_owned(),
            planting: None,
            parts,
            turn: None,
            word: String::new(),
        },
    }
}

#[test]
fn a_year_is_told_by_crop_bed_person_and_recipient() {
    let mut garden = SmallGarden::new();
    let pantry = ids::recipient(1);
    let grams = Harvest {
        kept: 400,
        shared: 300,
        given: Map::from([(pantry, 1_200)]),
        given_otherwise: 50,
        lost: 70,
        ..Harvest::default()
    };
    garden.does(wren(), SEASON, harvest(30, "Carrot", grams));
    let heads = Harvest {
        unit: HarvestUnit::Heads,
        kept: 600,
        ..Harvest::default()
    };
    garden.does(wren(), SEASON, harvest(31, "lettuce, head", heads));
    let year = harvest_totals::of_year(garden.replica.garden(), YEAR);
    let carrot = year.crops[&("carrot".to_owned(), HarvestUnit::Grams)];
    assert_eq!(
        (carrot.picked(), carrot.given, carrot.lost),
        (2_020, 1_250, 70)
    );
    assert_eq!(year.members[&(wren(), HarvestUnit::Heads)].kept, 600);
    let given = year.recipients[&(Some(pantry), "carrot".to_owned(), HarvestUnit::Grams)];
    assert_eq!(given, 1_200);
    // The picking of the common bed was written down the old way, by weight alone.
    let common = year.beds[&(ids::bed(3), HarvestUnit::Grams)];
    assert_eq!((common.picked(), common.kept), (2_400, 2_400));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn picked_is_kept_and_shared_and_given_and_lost(
        parts in prop::collection::vec((0_i64..90_000, 0_i64..90_000, 0_i64..90_000, 0_i64..90_000, 0_i64..90_000, any::<bool>()), 1..6),
    ) {
        let mut garden = SmallGarden::new();
        for (number, (kept, shared, named, otherwise, lost, counted)) in (30..).zip(&parts) {
            let harvested = Harvest {
                unit: if *counted { HarvestUnit::Bunches } else { HarvestUnit::Grams },
                kept: *kept,
                shared: *shared,
                given: Map::from([(ids::recipient(1), *named)]),
                given_otherwise: *otherwise,
                lost: *lost,
            };
            garden.does(wren(), SEASON, harvest(number, "kale", harvested));
        }
        let year = harvest_totals::of_year(garden.replica.garden(), YEAR);
        let total = |unit| -> i64 { year.all.get(&unit).map_or(0, |parts| parts.picked()) };
        let entered: i64 = parts.iter().map(|(kept, shared, named, otherwise, lost, _)| kept + shared + named + otherwise + lost).sum();
        // 2,400 g were picked before.
        prop_assert_eq!(total(HarvestUnit::Grams) + total(HarvestUnit::Bunches), entered + 2_400);
        for sums in [year.crops.values().map(|it| it.picked()).sum::<i64>(), year.beds.values().map(|it| it.picked()).sum(), year.members.values().map(|it| it.picked()).sum()] {
            prop_assert_eq!(sums, entered + 2_400);
        }
        let given: i64 = year.recipients.values().sum();
        prop_assert_eq!(given, year.all.values().map(|it| it.given).sum::<i64>());
    }
}

#[test]
fn turns_too_far_apart_for_a_crop_are_gaps_with_turns_offered() {
    let mut garden = SmallGarden::new();
    let picked = NewPlanting {
        first_picking: Some(day("2026-07-01")),
        last_picking: Some(day("2026-07-14")),
        ..of(1, "cucumber", "2026-05-20")
    };
    plant(&mut garden, 40, picked);
    let turns = [
        "2026-07-01",
        "2026-07-03",
        "2026-07-09",
        "2026-07-11",
        "2026-07-13",
    ];
    let turns = (40_u8..)
        .zip(turns)
        .map(|(number, on)| selion_core::document::edit::NewTurn {
            turn: ids::turn(number),
            bed: ids::bed(1),
            day: day(on),
            holder: None,
        });
    let turns = turns.collect();
    garden.does(ines(), SEASON, Edit::AddTurns { turns });
    let garden = garden.replica.garden();
    let books = Books::of(garden).unwrap();
    let span = (day("2026-06-01"), day("2026-08-31"));
    let gaps = harvest_totals::rota_gaps(garden, &books, YEAR, span);
    let cucumber: Vec<_> = gaps.iter().filter(|gap| gap.crop == "cucumber").collect();
    // The table says every 2 to 3 days: six days from 3 to 9 July are too many.
    assert_eq!(cucumber.len(), 1, "{gaps:?}");
    assert_eq!(
        (cucumber[0].from, cucumber[0].to),
        (day("2026-07-03"), day("2026-07-09"))
    );
    assert_eq!(cucumber[0].offered, [day("2026-07-06")]);
}

fn note(garden: &mut SmallGarden, number: u8, on: Day, rain: i64, air: Option<(i64, i64)>) {
    let reading = Reading {
        day: on,
        rain: Some(Depth::from_micrometres(rain)),
        coldest: air.map(|(low, _)| Temperature::from_millicelsius(low)),
        warmest: air.map(|(_, high)| Temperature::from_millicelsius(high)),
        gauge: String::new(),
    };
    let readings = Map::from([(ids::weather(number), reading)]);
    garden.does(wren(), SEASON, Edit::NoteWeather { readings });
}

#[test]
fn readings_are_averaged_and_a_day_without_one_is_named() {
    let mut garden = SmallGarden::new();
    // 90/65, 72/46 and 63/42 °F: 25.5, 11 and 6.5 modified degree days, 43 in all (Waushara Argus, 25 April 2018).
    for (number, (low, high)) in (20..).zip([(65_i64, 90_i64), (46, 72), (42, 63)]) {
        let celsius = |fahrenheit: i64| (fahrenheit - 32) * 5_000 / 9;
        let on = day("2026-05-01").plus_days(i64::from(number) - 20);
        note(
            &mut garden,
            number,
            on,
            0,
            Some((celsius(low), celsius(high))),
        );
    }
    let heat = |garden: &SmallGarden, to: &str| {
        let base = Temperature::from_millicelsius(10_000);
        weather_days::heat(
            garden.replica.garden(),
            day("2026-05-01"),
            day(to),
            Method::Cut,
            base,
        )
    };
    let gathered = heat(&garden, "2026-05-03").unwrap().result;
    let wanted = heat::DegreeDays::parse("43").unwrap().thousandths();
    assert!(
        (gathered.sum.thousandths() - wanted).abs() <= 10,
        "{gathered}"
    );
    let missing = heat(&garden, "2026-05-04").unwrap_err().to_string();
    assert!(missing.contains("2026-05-04"), "{missing}");
    note(&mut garden, 30, day("2026-04-10"), 2_700, None);
    let days = weather_days::days(garden.replica.garden());
    let tenth = days[&day("2026-04-10")];
    assert_eq!(
        (tenth.rain, tenth.readings),
        (Some(Depth::from_micrometres(7_700)), 2)
    );
}

#[test]
fn the_account_runs_from_the_soaking_rain_and_wants_a_latitude() {
    let mut garden = SmallGarden::new();
    note(
        &mut garden,
        20,
        day("2026-06-01"),
        30_000,
        Some((12_000, 22_000)),
    );
    for (number, step) in (21..).zip(1..=9) {
        note(
            &mut garden,
            number,
            day("2026-06-01").plus_days(step),
            0,
            Some((14_000, 28_000)),
        );
    }
    let today = day("2026-06-10");
    let asked =
        |garden: &SmallGarden| weather_days::workable(garden.replica.garden(), "loam", today);
    assert_eq!(asked(&garden).unwrap_err().code(), "missing");
    let latitude = ProfileField::Latitude(Some(Latitude::from_millidegrees(42_750)));
    garden.does(
        ines(),
        GROUND,
        Edit::ChangeProfile {
            set: vec![latitude],
        },
    );
    let dried = asked(&garden).unwrap().result;
    assert_eq!(dried.gone.len(), 9);
    assert!(
        dried.gone.windows(2).all(|two| two[0] <= two[1]),
        "it only dries"
    );
    let holds = (
        Depth::from_micrometres(60_000),
        Depth::from_micrometres(30_000),
    );
    let first = day("2026-06-02");
    let account = weather_days::balance(garden.replica.garden(), holds, 105, first, today).unwrap();
    assert_eq!(account.result.days.len(), 9);
    assert!(account.result.to_fill > Depth::ZERO);
}

#[test]
fn a_station_s_file_becomes_readings_of_the_garden() {
    let lines = "USW00014735,20260501,TMAX,211,,,W,\nUSW00014735,20260501,TMIN,82,,,W,\nUSW00014735,20260501,PRCP,25,,,W,2400\n";
    let found = ghcn::read(lines).unwrap();
    let readings = (50..)
        .zip(found.readings)
        .map(|(number, it)| (ids::weather(number), it))
        .collect();
    let mut garden = SmallGarden::new();
    garden.does(ines(), SEASON, Edit::NoteWeather { readings });
    let days = weather_days::days(garden.replica.garden());
    assert_eq!(
        days[&day("2026-05-01")].rain,
        Some(Depth::from_micrometres(2_500))
    );
}

#[test]
fn the_garden_is_seen_as_it_stood_on_a_day() {
    let mut garden = SmallGarden::new();
    let before = garden.replica.garden().clone();
    let later = |days: i64| Moment::from_millis(ids::NOW.millis() + days * 86_400_000);
    let wider = BedField::Outline(rectangle(0, 0, 6_000, 2_000));
    let set = vec![wider];
    let changes = [
        (
            GROUND,
            Edit::ChangeBed {
                bed: ids::bed(1),
                set,
            },
        ),
        (
            SEASON,
            Edit::MoveSeries {
                series: ids::series(1),
                days: 5,
            },
        ),
    ];
    for (days, (document, edit)) in (2..).step_by(2).zip(changes) {
        let envelope = garden.envelope(document, edit);
        garden
            .replica
            .apply(&envelope, ines(), later(days))
            .unwrap();
    }
    let now = garden.replica.garden();
    assert_eq!(garden.replica.as_of(later(1)).unwrap(), before);
    let between = garden.replica.as_of(later(3)).unwrap();
    assert_eq!(between.beds, now.beds);
    assert_eq!(between.seasons, before.seasons);
    assert_eq!(garden.replica.as_of(later(9)).unwrap(), *now);
    let long_ago = garden.replica.as_of(later(-900)).unwrap();
    assert!(long_ago.profile.is_none() && long_ago.beds.is_empty());
}

#[test]
fn a_year_ends_with_nothing_left_behind() {
    let mut garden = SmallGarden::new();
    let end = season_turn::of_year(garden.replica.garden(), YEAR);
    assert!(!end.is_clear());
    assert_eq!(end.tasks, [ids::task(1), ids::task(2), ids::task(3)]);
    assert_eq!(
        (end.orders.as_slice(), end.never_sown.len()),
        ([ids::order(1)].as_slice(), 2)
    );
    garden.does(ines(), GROUND, Edit::OpenYear { year: YEAR + 1 });
    garden.replica.begin_missing(ids::NOW).unwrap();
    let on = day("2026-12-01");
    let carried = season_turn::Fate::Carried(ids::task(95));
    for (task, fate) in [(1, season_turn::Fate::CalledOff), (2, carried)] {
        let edits = season_turn::settle(garden.replica.garden(), YEAR, ids::task(task), fate, on);
        for (document, edit) in edits {
            garden.does(ines(), document, edit);
        }
    }
    let shown = garden.replica.garden();
    let (year, again) = shown.task(ids::task(95)).unwrap();
    assert_eq!((year, again.title.as_str()), (YEAR + 1, "Mend the barrow"));
    assert_eq!(season_turn::of_year(shown, YEAR).tasks, [ids::task(3)]);
    assert!(season_turn::settle(shown, YEAR, ids::task(99), carried, on).is_empty());
}

#[test]
fn what_was_said_of_an_unfinished_task_can_be_taken_back() {
    let mut garden = SmallGarden::new();
    garden.does(ines(), GROUND, Edit::OpenYear { year: YEAR + 1 });
    garden.replica.begin_missing(ids::NOW).unwrap();
    let on = day("2026-12-01");
    let end = |garden: &SmallGarden| season_turn::of_year(garden.replica.garden(), YEAR);
    let before = garden.replica.garden().clone();
    let open = end(&garden);
    // Task 1 has two places: one is done, Ines holds the other. Task 2 is held by nobody.
    for (task, fate, open_after) in [
        (1, season_turn::Fate::Done, 2),
        (1, season_turn::Fate::CalledOff, 2),
        (2, season_turn::Fate::Carried(ids::task(91)), 2),
    ] {
        let task = ids::task(task);
        let shown = garden.replica.garden().clone();
        for (document, edit) in season_turn::settle(&shown, YEAR, task, fate, on) {
            garden.does(ines(), document, edit);
        }
        let after = end(&garden).tasks;
        assert_eq!(after.len(), open_after, "{fate:?}");
        assert!(!after.contains(&task), "{fate:?}");
        for (document, edit) in season_turn::unsettle(&shown, YEAR, task, fate, on) {
            garden.does(ines(), document, edit);
        }
        assert_eq!(end(&garden), open, "{fate:?}");
    }
    assert_eq!(
        garden.replica.garden().seasons[&YEAR].tasks,
        before.seasons[&YEAR].tasks
    );
    let nobody = season_turn::settle(&before, YEAR, ids::task(2), season_turn::Fate::Done, on);
    assert!(nobody.is_empty(), "nobody is said to have done it");
}

#[test]
fn work_done_by_fewer_people_than_there_were_places_is_done() {
    let mut garden = SmallGarden::new();
    garden.add_task(ines(), 40, "Carry the poles", 3);
    let of = selion_core::document::edit::Claimable::Task(ids::task(40));
    garden.does(
        ash(),
        SEASON,
        Edit::Claim {
            of,
            claim: ids::claim(40),
        },
    );
    let shown = garden.replica.garden().clone();
    let on = day("2026-12-01");
    let fate = season_turn::Fate::Done;
    for (document, edit) in season_turn::settle(&shown, YEAR, ids::task(40), fate, on) {
        garden.does(ines(), document, edit);
    }
    let (_, task) = garden.replica.garden().task(ids::task(40)).unwrap();
    assert_eq!(
        (task.places, task.claims[&ids::claim(40)].minutes.get()),
        (1, 30)
    );
    assert!(
        !season_turn::of_year(garden.replica.garden(), YEAR)
            .tasks
            .contains(&ids::task(40))
    );
}
