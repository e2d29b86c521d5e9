//! The sentences as people read them.

use selion_core::document::edit::{Claimable, NoteBase, NoteOf, TaskField};
use selion_core::document::ids::PickingId;
use selion_core::document::records::{Picked, Role};
use selion_core::document::{Edit, Garden};
use selion_core::policy::{ACTIONS, Action, Grant, grant};
use selion_core::quantities::{Mass, Minutes, Moment};
use selion_core::sync::Notice;

use super::*;
use crate::plain::sample::{bed, claim, day, hoe, member, pick, task, turn, with_tasks};

/// A garden with one task on C4 and one turn on A2.
fn garden() -> Garden {
    let mut garden = with_tasks([hoe()]);
    let season = garden.seasons.get_mut(&2026).unwrap();
    season.turns.insert(turn(1), pick("2026-06-12").into());
    garden
}

#[test]
fn days_as_people_say_them() {
    let today = day("2026-06-11");
    for (other, words) in [
        ("2026-06-11", "today"),
        ("2026-06-12", "tomorrow"),
        ("2026-06-10", "yesterday"),
        ("2026-06-13", "Sat 13 June"),
        ("2027-01-02", "Sat 2 January 2027"),
    ] {
        assert_eq!(day_words(day(other), today), words);
    }
    assert_eq!(in_a_sentence(day("2026-06-12"), today), "tomorrow");
    assert_eq!(in_a_sentence(day("2026-06-16"), today), "on Tue 16 June");
    assert_eq!(week_of(today.week()), "8 to 14 June");
    assert_eq!(week_of(day("2026-07-01").week()), "29 June to 5 July");
    assert_eq!(short_day(today), "Thu 11");
}

#[test]
fn edits_say_what_they_do_and_to_what() {
    let (of_task, of_turn) = (Claimable::Task(task(1)), Claimable::Turn(turn(1)));
    let claim = claim(1);
    let words = |edit: Edit| edit_words(&garden(), &edit, day("2026-06-10"));
    assert_eq!(
        words(Edit::Claim { of: of_task, claim }),
        "Claim: Hoe between the bean rows (C4)"
    );
    assert_eq!(
        words(Edit::GiveBack { of: of_turn, claim }),
        "Give back: picking A2 on Fri 12 June"
    );
    assert_eq!(
        words(Edit::HandOver {
            of: of_task,
            claim,
            to: member(1),
            new_claim: claim
        }),
        "Hand over to Ines: Hoe between the bean rows (C4)"
    );
    assert_eq!(
        words(Edit::Done {
            of: of_task,
            claim,
            minutes: Minutes::new(90),
            on: day("2026-06-10"),
            word: String::new()
        }),
        "Done in 1 h 30 min: Hoe between the bean rows (C4)"
    );
    assert_eq!(
        words(Edit::ChangeTask {
            task: task(1),
            set: vec![TaskField::EndedOn(Some(day("2026-06-10")))]
        }),
        "Call off: Hoe between the bean rows (C4)"
    );
    assert_eq!(
        words(Edit::LogPicking {
            picking: PickingId::fresh(Moment::from_millis(1), [6; 10]),
            bed: bed(2),
            day: day("2026-06-10"),
            crop: "beans".into(),
            mass: Mass::from_grams(2_495),
            picked: Picked::Kept,
            turn: None,
            word: String::new()
        }),
        "Picked: 5.5 lb of beans from C4, today"
    );
    let long = "Mind the drip line, it runs closer to the stakes than it looks from the path.";
    assert_eq!(
        words(Edit::WriteNote {
            of: NoteOf::Bed(bed(2)),
            text: long.into(),
            base: NoteBase::default()
        }),
        "Note on bed C4: “Mind the drip line, it runs closer to the stakes than it loo…”"
    );
}

#[test]
fn what_is_not_on_this_phone_is_still_spoken_of() {
    let edit = Edit::Claim {
        of: Claimable::Task(task(1)),
        claim: claim(1),
    };
    assert_eq!(
        edit_words(&Garden::default(), &edit, day("2026-06-10")),
        "Claim: a task that is not here"
    );
}

#[test]
fn notices_say_what_happened_and_where() {
    let (task, turn) = (task(1), turn(1));
    let words = |notice: Notice| notice_words(&garden(), &notice, day("2026-06-10"));
    let bumped = words(Notice::StandsBy {
        of: Claimable::Task(task),
        steps: 2,
    });
    assert_eq!(
        bumped.words,
        "Another claim arrived first, so you are second stand-by: Hoe between the bean rows (C4)."
    );
    assert!(bumped.is_loss);
    assert_eq!(bumped.href, Some(format!("/task/{task}")));
    let got = words(Notice::GotPlace {
        of: Claimable::Turn(turn),
    });
    assert_eq!(
        got.words,
        "A place came free, and you hold it now: picking A2 on Fri 12 June."
    );
    assert_eq!(got.href, Some(format!("/picking?turn={turn}")));
    let moved = words(Notice::Moved {
        of: Claimable::Task(task),
        from: Some(day("2026-06-09")),
    });
    assert_eq!(
        moved.words,
        "Moved from yesterday to any day: Hoe between the bean rows (C4)."
    );
    assert!(moved.is_loss);
    let back = words(Notice::PlanMoved {
        of: Claimable::Task(task),
    });
    assert!(
        back.words.ends_with("it was moved back since."),
        "{}",
        back.words
    );
    assert_eq!(
        words(Notice::ClaimedStay { tasks: 2 }).words,
        "You moved the plan; 2 claimed tasks stayed as they were, and those who claimed them are told."
    );
    assert_eq!(
        words(Notice::RoleChanged { role: Role::Helper }).words,
        "You are a helper in this garden now."
    );
}

#[test]
fn whatever_is_granted_on_ones_own_says_what_that_is() {
    for action in ACTIONS {
        let own = Role::ALL
            .iter()
            .any(|role| grant(*role, action) == Grant::Own);
        assert_eq!(forbidden(action).contains("whoever"), own, "{action:?}");
    }
}

#[test]
fn a_grey_button_says_who_may() {
    assert_eq!(
        forbidden(Action::KeepTurns),
        "Only a coordinator can put up picking turns and call them off."
    );
    assert_eq!(
        forbidden(Action::AddTask),
        "Only a coordinator or a member can put up a task."
    );
    assert_eq!(
        forbidden(Action::ChangeTask),
        "Only a coordinator, or whoever put it up, can change a task."
    );
    assert_eq!(
        forbidden(Action::KeepClaim),
        "Only a coordinator, or whoever gave the claim, can give back, hand over or finish a claim."
    );
}

#[test]
fn counts_keep_their_number() {
    assert_eq!(counted(1, "person", "people"), "1 person");
    assert_eq!(counted(0, "person", "people"), "0 people");
    assert_eq!(taken_of(2, 4), "2 of 4");
    assert_eq!(stand_by(1), "first stand-by");
    assert_eq!(stand_by(12), "stand-by number 12");
    assert_eq!(capital("today"), "Today");
    assert_eq!(capital(""), "");
}
