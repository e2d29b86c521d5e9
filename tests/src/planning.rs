//! Plantings from plan to plate: days, gaps, neighbours, series, and the tasks that follow them.

use proptest::prelude::*;
use selion_core::document::edit::{
    AcceptedTask, Claimable, NewPlanting, PlantingField, ProfileField,
};
use selion_core::document::records::{PlantingState, StartsAs};
use selion_core::document::season_plan::{
    Books, dates, fits, frost::FrostYear, neighbours, plants, series, year_view,
};
use selion_core::document::{DocumentName, Edit, Garden};
use selion_core::geometry::Outline;
use selion_core::ordered::Map;
use selion_core::policy::{RefusalCode, Told};
use selion_core::quantities::{Length, Minutes, Rate, Units};
use selion_core::season::rotation::Weight;

use crate::small_garden::{
    GROUND, SEASON, SmallGarden, YEAR, carrots, day, every_edit, ids, ines, rectangle, tomasz, wren,
};

/// The small garden with the frost dates of Albany, as every garden that plans has some.
fn with_frost() -> SmallGarden {
    let mut garden = SmallGarden::new();
    for (document, edit) in every_edit() {
        let frost = |field: &ProfileField| matches!(field, ProfileField::Frost(_));
        if matches!(&edit, Edit::ChangeProfile { set } if set.iter().any(frost)) {
            garden.does(ines(), document, edit);
        }
    }
    garden
}

fn of(bed: u8, crop: &str, start: &str) -> NewPlanting {
    NewPlanting {
        crop: crop.to_owned(),
        ..carrots(bed, start)
    }
}

fn plant(garden: &mut SmallGarden, document: DocumentName, number: u8, new: NewPlanting) {
    let plantings = Map::from([(ids::planting(number), new)]);
    let series = None;
    garden.does(ines(), document, Edit::Plant { plantings, series });
}

fn accept(key: String, number: u8, on: &str) -> Edit {
    Edit::AcceptProposal {
        task: ids::task(number),
        accepted: AcceptedTask {
            key,
            title: "Thin carrot".to_owned(),
            bed: Some(ids::bed(3)),
            day: day(on),
            places: 2,
            minutes: Minutes::new(40),
        },
    }
}

fn moved(to: &str) -> Edit {
    Edit::ChangePlanting {
        planting: ids::planting(1),
        set: vec![PlantingField::Start(day(to))],
    }
}

fn task_day(garden: &SmallGarden, number: u8) -> Option<String> {
    let (_, task) = garden.replica.garden().task(ids::task(number)).unwrap();
    task.day.map(|day| day.to_string())
}

#[test]
fn unclaimed_tasks_follow_the_plan_and_claimed_ones_stay_and_are_told() {
    let mut garden = SmallGarden::new();
    let planting = ids::planting(1);
    garden.does(
        ines(),
        SEASON,
        accept(format!("thin:{planting}"), 20, "2026-05-11"),
    );
    garden.does(
        ines(),
        SEASON,
        accept(format!("scout:{planting}:1"), 21, "2026-05-18"),
    );
    let elsewhere = format!("clear:{}", ids::planting(2));
    garden.does(ines(), SEASON, accept(elsewhere, 22, "2026-06-01"));
    let (of, claim) = (Claimable::Task(ids::task(21)), ids::claim(30));
    garden.does(wren(), SEASON, Edit::Claim { of, claim });

    let applied = garden.does(ines(), SEASON, moved("2026-04-27"));
    assert_eq!(applied.told, Some(Told::ClaimedStay(1)));
    assert_eq!(task_day(&garden, 20).unwrap(), "2026-05-18");
    let (_, stayed) = garden.replica.garden().task(ids::task(21)).unwrap();
    let plan_now = stayed.plan_now.unwrap();
    assert_eq!(
        plan_now.day,
        Some(day("2026-05-25")),
        "where the plan has it"
    );
    assert_eq!(
        task_day(&garden, 21).unwrap(),
        "2026-05-18",
        "Wren comes then"
    );
    assert_eq!(task_day(&garden, 22).unwrap(), "2026-06-01");

    garden.does(wren(), SEASON, Edit::GiveBack { of, claim });
    assert_eq!(
        task_day(&garden, 21).unwrap(),
        "2026-05-25",
        "nobody is held by it any more"
    );
    let applied = garden.does(ines(), SEASON, moved("2026-04-28"));
    assert_eq!(applied.told, None);
    assert_eq!(task_day(&garden, 21).unwrap(), "2026-05-26");

    let out = Edit::ChangePlanting {
        planting,
        set: vec![PlantingField::EndedOn(Some(day("2026-04-29")))],
    };
    garden.does(ines(), SEASON, out);
    let called_off = |number| {
        garden
            .replica
            .garden()
            .task(ids::task(number))
            .unwrap()
            .1
            .ended_on
    };
    assert!(called_off(20).is_some() && called_off(21).is_some() && called_off(22).is_none());
    let refused = garden
        .tries(ines(), SEASON, moved("2026-05-01"))
        .unwrap_err();
    assert_eq!(refused.code, RefusalCode::Ended);
}

#[test]
fn a_series_moves_together_and_what_is_sown_stays() {
    let mut garden = SmallGarden::new();
    let mark = Edit::MarkPlanting {
        planting: ids::planting(1),
        state: PlantingState::Standing,
        on: day("2026-04-22"),
    };
    let key = format!("sow:{}", ids::planting(1));
    garden.does(ines(), SEASON, accept(key, 20, "2026-04-20"));
    garden.does(wren(), SEASON, mark);
    let (_, sowing) = garden.replica.garden().task(ids::task(20)).unwrap();
    assert!(sowing.ended_on.is_some(), "nobody need sow it any more");
    let series = ids::series(1);
    garden.does(ines(), SEASON, Edit::MoveSeries { series, days: 10 });
    let start = |number| {
        let (_, planting) = garden
            .replica
            .garden()
            .planting(ids::planting(number))
            .unwrap();
        planting.start.to_string()
    };
    assert_eq!(
        (start(1).as_str(), start(2).as_str()),
        ("2026-04-22", "2026-05-28")
    );
    let unknown = Edit::MoveSeries {
        series: ids::series(77),
        days: 1,
    };
    let refused = garden.tries(ines(), SEASON, unknown).unwrap_err();
    assert_eq!(refused.code, RefusalCode::NotThere);
}

#[test]
fn a_proposal_accepted_twice_makes_one_task() {
    let mut garden = SmallGarden::new();
    let key = format!("sow:{}", ids::planting(1));
    let first = garden.does(ines(), SEASON, accept(key.clone(), 20, "2026-04-20"));
    let second = garden.does(ines(), SEASON, accept(key.clone(), 21, "2026-04-20"));
    assert!(first.change.is_some() && second.change.is_none());
    assert!(garden.replica.garden().task(ids::task(21)).is_none());
    let by_wren = garden.tries(wren(), SEASON, accept(key, 22, "2026-04-20"));
    assert_eq!(by_wren.unwrap_err().code, RefusalCode::NotAllowed);
}

#[test]
fn members_plan_their_own_beds_and_no_others() {
    let mut garden = SmallGarden::new();
    let plan = |number, bed| Edit::Plant {
        plantings: Map::from([(ids::planting(number), carrots(bed, "2026-05-01"))]),
        series: Some(ids::series(number)),
    };
    garden.does(wren(), SEASON, plan(30, 1));
    let move_to = |bed| Edit::ChangePlanting {
        planting: ids::planting(30),
        set: vec![PlantingField::Bed(ids::bed(bed))],
    };
    let series = ids::series(30);
    let shift = Edit::MoveSeries { series, days: 2 };
    for (who, edit) in [
        (wren(), plan(31, 2)),
        (wren(), move_to(2)),
        (tomasz(), move_to(2)),
        (tomasz(), shift.clone()),
    ] {
        let refused = garden.tries(who, SEASON, edit).unwrap_err();
        assert_eq!(refused.code, RefusalCode::NotAllowed);
    }
    garden.does(wren(), SEASON, shift);
    let outside = Edit::ChangePlanting {
        planting: ids::planting(30),
        set: vec![PlantingField::Part(Some(rectangle(0, 0, 6_000, 1_300)))],
    };
    let refused = garden.tries(wren(), SEASON, outside).unwrap_err();
    assert!(refused.message.contains("lies in bed A1"), "{refused}");
}

#[test]
fn days_come_from_the_table_the_frost_and_the_people() {
    let mut garden = with_frost();
    plant(
        &mut garden,
        SEASON,
        40,
        of(1, "bean, bush snap", "2026-05-20"),
    );
    plant(
        &mut garden,
        SEASON,
        41,
        of(2, "bean, bush snap", "2026-08-01"),
    );
    let entered = NewPlanting {
        first_picking: Some(day("2026-08-01")),
        last_picking: Some(day("2026-09-01")),
        ..of(2, "tomato", "2026-06-01")
    };
    plant(&mut garden, SEASON, 42, entered);
    let garden = garden.replica.garden();
    let books = Books::of(garden).unwrap();
    let of = |number| {
        let (_, planting) = garden.planting(ids::planting(number)).unwrap();
        dates::of(garden, &books, planting).unwrap().result
    };
    // 60 days of the table, and 14 more for short days after midsummer.
    let spring = of(40);
    assert_eq!(spring.first_picking, Some(day("2026-07-19")));
    assert_eq!(
        spring.last,
        day("2026-08-15"),
        "28 days of a crop picked again and again"
    );
    let fall = of(41);
    assert_eq!(fall.first_picking, Some(day("2026-10-14")));
    // At 20 % the first frost of Albany lies between the 10 and the 50 % dates, 3 and 15 October: too late for these.
    let first_frost = FrostYear::of(garden, YEAR).unwrap().first_day();
    assert_eq!(fall.last, first_frost);
    assert!((day("2026-10-03")..day("2026-10-15")).contains(&first_frost));
    let tomato = of(42);
    assert_eq!((tomato.last, tomato.estimated), (day("2026-09-01"), false));
}

#[test]
fn the_year_shows_bars_gaps_and_what_fits_them() {
    let mut garden = with_frost();
    plant(&mut garden, SEASON, 40, of(1, "pea, garden", "2026-04-10"));
    let garden = garden.replica.garden();
    let books = Books::of(garden).unwrap();
    let view = year_view::of_year(garden, &books, YEAR);
    let bed = view.beds.iter().find(|bed| bed.bed == ids::bed(1)).unwrap();
    let [bar] = bed.bars.as_slice() else {
        panic!("{bed:?}")
    };
    assert_eq!(bar.from, day("2026-04-10"));
    assert_eq!(bar.weeks.0, 14, "the 100th day of the year");
    let [gap] = bed.gaps.as_slice() else {
        panic!("{bed:?}")
    };
    let frost = view.frost.clone().unwrap();
    let gap = year_view::filling(garden, &books, &frost, ids::bed(1), *gap);
    assert_eq!(gap.gap.from, bar.to.plus_days(1));
    assert!(gap.gap.open_ended);
    let crops: Vec<&str> = gap.crops.iter().map(|fit| fit.crop.as_str()).collect();
    assert!(
        crops.contains(&"radish") && !crops.contains(&"pumpkin"),
        "{crops:?}"
    );
    let rye = gap
        .covers
        .iter()
        .find(|fit| fit.cover == "cereal rye")
        .unwrap();
    assert_eq!(rye.end_by, None, "it stands the winter");
    assert!(rye.seed.is_some() && rye.sow_from <= rye.sow_by);
    for fit in &gap.crops {
        assert!(
            gap.gap.from <= fit.sow_from && fit.sow_from <= fit.sow_by,
            "{fit:?}"
        );
    }
    let closed = fits::Gap {
        from: day("2026-05-20"),
        to: day("2026-08-01"),
        open_ended: false,
    };
    let covers = fits::covers(garden, &books, &frost, ids::bed(1), closed);
    let buckwheat = covers.iter().find(|fit| fit.cover == "buckwheat").unwrap();
    // Ended two weeks before the next sowing, and forty days before that at the latest in the ground.
    assert_eq!(buckwheat.end_by, Some(day("2026-07-18")));
    assert_eq!(buckwheat.sow_by, day("2026-06-08"));
    assert!(covers.iter().all(|fit| fit.cover != "cereal rye"));
}

#[test]
fn without_frost_dates_there_are_bars_and_no_gaps() {
    let garden = SmallGarden::new();
    let garden = garden.replica.garden();
    let books = Books::of(garden).unwrap();
    let view = year_view::of_year(garden, &books, YEAR);
    assert!(view.frost.is_none());
    assert!(view.beds.iter().all(|bed| bed.gaps.is_empty()));
    let common = view.beds.iter().find(|bed| bed.bed == ids::bed(3)).unwrap();
    assert_eq!(common.bars.len(), 2);
}

#[test]
fn relatives_and_bad_neighbours_are_named_with_the_reason() {
    let mut garden = with_frost();
    let last_year = DocumentName::Season(YEAR - 1);
    plant(&mut garden, last_year, 50, of(1, "potato", "2025-05-01"));
    plant(&mut garden, SEASON, 51, of(1, "tomato", "2026-06-01"));
    plant(&mut garden, SEASON, 52, of(2, "potato", "2026-05-01"));
    plant(&mut garden, SEASON, 53, of(3, "corn, sweet", "2026-05-20"));
    let garden = garden.replica.garden();
    let books = Books::of(garden).unwrap();
    let words = |number| -> Vec<String> {
        let id = ids::planting(number);
        let (year, planting) = garden.planting(id).unwrap();
        let found = neighbours::objections(garden, &books, year, id, planting);
        found
            .into_iter()
            .map(|it| format!("{:?} {}", it.weight, it.words))
            .collect()
    };
    let tomato = words(51);
    assert_eq!(
        tomato[0],
        "Warning Solanaceae stood here before: potato in 2025, 1 year ago."
    );
    assert!(
        tomato[1].starts_with("Note Potato beside tomato (A2)"),
        "{tomato:?}"
    );
    let corn = words(53);
    assert!(
        corn.iter().any(|words| words.contains("rows are few")),
        "{corn:?}"
    );
    assert!(
        words(52)
            .iter()
            .all(|words| !words.starts_with(&format!("{:?}", Weight::Warning)))
    );
}

#[test]
fn a_series_is_as_long_as_the_season_and_seed_is_bought_for_all_of_it() {
    let mut garden = with_frost();
    let first = of(1, "bean, bush snap", "2026-05-20");
    let (days, edit) = {
        let garden = garden.replica.garden();
        let books = Books::of(garden).unwrap();
        let frost = FrostYear::of(garden, YEAR).unwrap();
        let fitting = series::fitting(&books, &frost, &first, Some(14))
            .unwrap()
            .result;
        let days: Vec<_> = fitting
            .sowings
            .iter()
            .map(|sowing| sowing.sown)
            .take(3)
            .collect();
        let ids: Vec<_> = (60..63).map(ids::planting).collect();
        let edit = series::planted(&first, &days, &ids, ids::series(9));
        (days, edit)
    };
    assert_eq!(days, ["2026-05-20", "2026-06-03", "2026-06-17"].map(day));
    garden.does(ines(), SEASON, edit);
    let garden = garden.replica.garden();
    let books = Books::of(garden).unwrap();
    let (_, planting) = garden.planting(ids::planting(60)).unwrap();
    let count = plants::plants_of(garden, &books, planting)
        .unwrap()
        .result
        .plants;
    // Rows 24 in apart along 6 m, 4 in apart in the row: one row of 59 at the widest spacing of the table.
    assert_eq!(count, 59);
    let shopping = plants::shopping(garden, &books, YEAR).result;
    let beans = &shopping["bean, bush snap"];
    assert_eq!(beans.plantings, 3);
    // 59 / (70 % × 80 %) = 105.4, so 106 for each sowing.
    assert_eq!(beans.seeds, 3 * 106);
}

#[test]
fn plants_that_are_set_are_bought_as_plants() {
    let mut garden = SmallGarden::new();
    let set = NewPlanting {
        starts_as: StartsAs::Set,
        ..of(1, "cabbage", "2026-05-01")
    };
    plant(&mut garden, SEASON, 40, set);
    let garden: &Garden = garden.replica.garden();
    let books = Books::of(garden).unwrap();
    let (_, planting) = garden.planting(ids::planting(40)).unwrap();
    let bought = plants::to_buy(garden, &books, planting).unwrap().result;
    // 6 m at 12 in: 19 in each of two rows 24 in apart; the bed of 1.2 m holds one at 24 in with half a space beside it.
    assert_eq!(bought, plants::ToBuy::Plants(19));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn nothing_claimed_ever_moves(moves in prop::collection::vec((-20_i64..20, any::<bool>(), 0_u8..4), 1..8), claimed in any::<[bool; 4]>()) {
        let mut garden = SmallGarden::new();
        for number in 0..4_u8 {
            let key = format!("scout:{}:{number}", ids::planting(1 + number % 2));
            garden.does(ines(), SEASON, accept(key, 30 + number, "2026-06-01"));
            if claimed[usize::from(number)] {
                let of = Claimable::Task(ids::task(30 + number));
                garden.does(wren(), SEASON, Edit::Claim { of, claim: ids::claim(30 + number) });
            }
        }
        for (days, series, which) in moves {
            let edit = if series {
                Edit::MoveSeries { series: ids::series(1), days }
            } else {
                Edit::ChangePlanting {
                    planting: ids::planting(1 + which % 2),
                    set: vec![PlantingField::Start(day("2026-04-20").plus_days(days))],
                }
            };
            garden.does(ines(), SEASON, edit);
            for number in 0..4_u8 {
                if claimed[usize::from(number)] {
                    prop_assert_eq!(task_day(&garden, 30 + number).unwrap(), "2026-06-01");
                }
            }
        }
    }
}

#[test]
fn a_year_is_closed_only_when_there_is_a_later_one() {
    let mut garden = SmallGarden::new();
    let refused = garden
        .tries(ines(), GROUND, Edit::CloseYear { year: YEAR })
        .unwrap_err();
    assert_eq!(refused.code, RefusalCode::YearNotOpen);
    garden.does(ines(), GROUND, Edit::CloseYear { year: YEAR - 1 });
    let into_the_past = Edit::Plant {
        plantings: Map::from([(ids::planting(70), carrots(3, "2025-05-01"))]),
        series: None,
    };
    let last_year = DocumentName::Season(YEAR - 1);
    let refused = garden.tries(ines(), last_year, into_the_past).unwrap_err();
    assert_eq!(refused.code, RefusalCode::YearNotOpen);
}

#[test]
fn two_crops_on_the_same_ground_at_the_same_time_are_pointed_out() {
    let mut garden = with_frost();
    plant(&mut garden, SEASON, 54, of(1, "pea, garden", "2026-04-10"));
    plant(
        &mut garden,
        SEASON,
        55,
        of(1, "bean, bush snap", "2026-05-20"),
    );
    plant(&mut garden, SEASON, 56, of(1, "kale", "2026-09-01"));
    let garden = garden.replica.garden();
    let books = Books::of(garden).unwrap();
    let same = |number| -> Vec<_> {
        let id = ids::planting(number);
        let (year, planting) = garden.planting(id).unwrap();
        neighbours::objections(garden, &books, year, id, planting)
            .into_iter()
            .filter(|it| it.words.starts_with("Stands on the same ground"))
            .map(|it| (it.other, it.working.steps.len()))
            .collect()
    };
    // Peas are picked until late July, beans until the middle of August.
    assert_eq!(same(54), [(Some(ids::planting(55)), 3)]);
    assert_eq!(same(55), [(Some(ids::planting(54)), 3)]);
    assert_eq!(same(56), []);
}

#[test]
fn a_part_may_lie_as_far_beside_its_bed_as_rounding_puts_it_and_no_farther() {
    let garden = SmallGarden::new();
    let bed = &garden
        .replica
        .garden()
        .beds
        .get(&ids::bed(1))
        .unwrap()
        .outline;
    let bounds = bed.bounds();
    let part = |beside: i64| {
        let corner = bounds
            .min
            .checked_shift(Length::from_mm(-beside), Length::ZERO)
            .unwrap();
        let (width, depth) = (Length::from_mm(500 + beside), Length::from_mm(500));
        Outline::rectangle(corner, width, depth).unwrap()
    };
    let mut garden = SmallGarden::new();
    let mut tries = |number, beside| {
        let new = NewPlanting {
            part: Some(part(beside)),
            ..carrots(1, "2026-05-01")
        };
        let plantings = Map::from([(ids::planting(number), new)]);
        let series = None;
        garden
            .tries(ines(), SEASON, Edit::Plant { plantings, series })
            .is_ok()
    };
    assert!(tries(60, 0) && tries(61, 2));
    assert!(!tries(62, 5));
}

#[test]
fn a_cover_crop_leaves_half_its_nitrogen_and_asks_for_a_wait() {
    let garden = with_frost();
    let books = Books::of(garden.replica.garden()).unwrap();
    let of = |name: &str| books.covers.find(name).unwrap();
    // 50 to 120 lb/acre in a full stand of cowpea by the table; half of it, as UC Santa Cruz counts what is tilled in.
    let credit = fits::nitrogen_credit(of("cowpea"), Units::UsCustomary).unwrap();
    let half = |rate: &str| Rate::parse(rate).unwrap();
    assert_eq!(credit.result.least, half("25 lb/acre"));
    assert_eq!(credit.result.most, half("60 lb/acre"));
    assert!(credit.steps.len() >= 3);
    assert!(fits::nitrogen_credit(of("cereal rye"), Units::UsCustomary).is_none());
    // Rye wants two to four weeks.
    let free = fits::free_from(of("cereal rye"), day("2026-04-20"))
        .unwrap()
        .result;
    assert_eq!(
        (free.least, free.most),
        (day("2026-05-04"), day("2026-05-18"))
    );
}
