//! Drawing the ground: every change can be taken back and made again, and a new outline names what follows it.

use std::collections::BTreeMap;

use selion_core::document::ids::{BedId, MemberId};
use selion_core::document::{Edit, Garden, ground_change, undo};
use selion_core::policy::RefusalCode;

use crate::small_garden::{GROUND, SmallGarden, day, every_edit, ids, ines, kind, rectangle};

/// What a plan shows: all that was not given up.
fn shown(garden: &Garden) -> impl PartialEq + std::fmt::Debug + use<> {
    let beds: Vec<(BedId, String, String, BTreeMap<MemberId, u32>)> = garden
        .open_beds()
        .into_iter()
        .map(|(id, bed)| {
            let outline = bed.outline.to_string();
            (id, bed.label.clone(), outline, bed.held_by().collect())
        })
        .collect();
    let structures: Vec<String> = garden
        .structures
        .values()
        .filter(|structure| structure.ended_on.is_none())
        .map(|structure| {
            format!(
                "{} {} {:?}",
                structure.label, structure.outline, structure.what
            )
        })
        .collect();
    let fences: Vec<String> = garden
        .fence_lines
        .values()
        .filter(|fence| fence.ended_on.is_none())
        .map(|fence| {
            format!(
                "{} {} {:?}",
                fence.label,
                fence.line,
                fence.gates_in_order()
            )
        })
        .collect();
    let profile = garden.profile.as_ref();
    let picture = profile.and_then(|profile| profile.backdrop);
    (beds, structures, fences, picture)
}

#[test]
fn every_change_of_the_ground_is_taken_back_and_made_again() {
    let today = day("2026-05-01");
    let mut taken_back = Vec::new();
    for (document, edit) in every_edit() {
        let mut garden = SmallGarden::new();
        let before = garden.replica.garden().clone();
        let Some(back) = undo::inverse(&before, &edit, today) else {
            continue;
        };
        taken_back.push(kind(&edit));
        garden.does(ines(), document, edit.clone());
        let drawn = shown(garden.replica.garden());
        assert!(drawn != shown(&before), "{edit:?}");
        let mut again = Vec::new();
        for step in back {
            let here = garden.replica.garden().clone();
            let mut redo = undo::inverse(&here, &step, today).unwrap();
            redo.append(&mut again);
            again = redo;
            garden.does(ines(), GROUND, step);
        }
        assert_eq!(shown(garden.replica.garden()), shown(&before), "{edit:?}");
        for step in again {
            garden.does(ines(), GROUND, step);
        }
        assert_eq!(shown(garden.replica.garden()), drawn, "{edit:?}");
    }
    assert_eq!(
        taken_back,
        [
            "AddBed",
            "ChangeBed",
            "AddStructure",
            "EndStructure",
            "AddFenceLine",
            "EndFenceLine",
            "SplitBed",
            "MergeBeds",
            "DrawStructure",
            "ChangeStructure",
            "ChangeFenceLine",
            "ChangeProfile",
            "ChangeStructure"
        ]
    );
}

#[test]
fn a_cut_or_a_join_of_an_outline_that_was_changed_meanwhile_is_refused() {
    for (document, edit) in every_edit() {
        let (Edit::SplitBed { bed: moved, .. } | Edit::MergeBeds { with: moved, .. }) = edit else {
            continue;
        };
        let mut garden = SmallGarden::new();
        let set = vec![selion_core::document::edit::BedField::Outline(rectangle(
            0, 50_000, 7_000, 2_000,
        ))];
        garden.does(ines(), GROUND, Edit::ChangeBed { bed: moved, set });
        let refused = garden.tries(ines(), document, edit).unwrap_err();
        assert_eq!(refused.code, RefusalCode::Changed);
        assert!(refused.message.contains("changed meanwhile"), "{refused}");
    }
}

#[test]
fn a_cut_makes_no_ground_and_loses_none() {
    for (document, mut edit) in every_edit() {
        if let Edit::SplitBed { outline, .. } = &mut edit {
            *outline = rectangle(0, 6_000, 6_050, 2_000);
            let mut garden = SmallGarden::new();
            let refused = garden.tries(ines(), document, edit).unwrap_err();
            assert_eq!(refused.code, RefusalCode::BadInput);
            assert!(refused.message.starts_with("pieces: expected"), "{refused}");
        }
    }
}

#[test]
fn a_new_outline_names_what_follows_it_and_leaves_what_is_closed() {
    let mut garden = SmallGarden::new();
    for (document, edit) in every_edit() {
        if kind(&edit) == "CloseJob" {
            garden.does(ines(), document, edit);
        }
    }
    let garden = garden.replica.garden();
    let wider = rectangle(0, 0, 6_000, 2_400);
    let answer = ground_change::of_outline(garden, ids::bed(1), &wider).unwrap();
    let change = &answer.result;
    assert_eq!(change.after.mm2(), 2 * change.before.mm2());
    assert!(change.reaches_elsewhere());
    assert!(!change.jobs.contains(&ids::job(2)), "it is closed");
    assert!(change.closed > 0);
    let told = |basis: &String| basis.starts_with("Closed already and left");
    assert!(answer.basis.iter().any(told), "{:?}", answer.basis);
    let moved = rectangle(40_000, 0, 6_000, 1_200);
    let answer = ground_change::of_outline(garden, ids::bed(1), &moved).unwrap();
    assert!(!answer.result.reaches_elsewhere(), "the area is the same");
    // Two sowings of carrots stand all over the common bed.
    let common = ground_change::of_outline(garden, ids::bed(3), &moved)
        .unwrap()
        .result;
    assert_eq!(common.plantings, [ids::planting(1), ids::planting(2)]);
    let gone = ground_change::of_outline(garden, ids::bed(99), &moved);
    assert_eq!(gone.unwrap_err().code(), "missing");
}
