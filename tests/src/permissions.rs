//! Who may do what: the whole table as a picture, and the same table against a phone that does not keep to it.

use std::fmt::Write as _;

use selion_core::document::ids::MemberId;
use selion_core::document::records::Role;
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::{ACTIONS, Action, Grant, RefusalCode, grant, may};

use crate::small_garden::{
    GROUND, KINDS, LEDGER, SEASON, SmallGarden, ash, every_edit, ids, ines, kind, tomasz, wren,
};

/// The table. A change of it shows here as a changed row, to be agreed to by changing the picture.
const PICTURE: &str = "\
action          coordinator  member  helper
KeepGarden      yes          -       -
KeepPeople      yes          -       -
KeepGround      yes          -       -
NoteBed         yes          own     -
AddTask         yes          yes     -
ChangeTask      yes          own     -
NoteTask        yes          yes     yes
Claim           yes          yes     yes
KeepClaim       yes          own     own
KeepTurns       yes          -       -
LogPicking      yes          yes     yes
StrikePicking   yes          own     own
Plan            yes          own     -
MarkPlanting    yes          yes     yes
AcceptProposals yes          -       -
NoteWeather     yes          yes     yes
StrikeWeather   yes          own     own
SetBedCrops     yes          own     -
AddSoilTest     yes          own     -
StrikeSoilTest  yes          own     -
LogAmendment    yes          yes     yes
StrikeAmendment yes          own     own
KeepJobs        yes          -       -
LogHours        yes          yes     yes
StrikeHours     yes          own     own
SeeLedger       yes          yes     -
KeepOrders      yes          -       -
AskFor          yes          own     -
HandOut         yes          yes     -
RecordPayment   yes          own     -
ConfirmEntry    yes          own     -
ReverseEntry    yes          own     -
KeepLedger      yes          -       -
AskCoordinator  yes          yes     -
AnswerRequest   yes          own     -
";

#[test]
fn the_table_of_permissions_is_this_one() {
    let mut drawn = format!(
        "{:16}{:13}{:8}{}\n",
        "action", "coordinator", "member", "helper"
    );
    for action in ACTIONS {
        let [coordinator, member, helper] = Role::ALL.map(|role| match grant(role, action) {
            Grant::Yes => "yes",
            Grant::Own => "own",
            Grant::No => "-",
        });
        let name = format!("{action:?}");
        writeln!(drawn, "{name:16}{coordinator:13}{member:8}{helper}").unwrap();
    }
    assert_eq!(drawn, PICTURE);
}

#[test]
fn every_action_but_seeing_the_ledger_is_asked_of_some_edit() {
    for action in ACTIONS {
        let asked = every_edit().iter().any(|(_, edit)| edit.action() == action);
        assert_eq!(asked, action != Action::SeeLedger, "{action:?}");
    }
}

#[test]
fn every_edit_stands_when_the_coordinator_makes_it() {
    for name in KINDS {
        assert!(
            every_edit().iter().any(|(_, edit)| kind(edit) == *name),
            "no {name}"
        );
    }
    for (document, edit) in every_edit() {
        let mut garden = SmallGarden::new();
        let applied = garden.tries(ines(), document, edit.clone());
        assert!(
            applied.is_ok_and(|applied| applied.change.is_some()),
            "{edit:?}"
        );
    }
}

#[test]
fn what_the_table_forbids_is_refused_and_leaves_every_document_as_it_was() {
    for (document, edit) in every_edit() {
        for (who, role) in [
            (wren(), Role::Member),
            (tomasz(), Role::Member),
            (ash(), Role::Helper),
        ] {
            let mut garden = SmallGarden::new();
            let allowed = may(role, edit.action(), is_own(who, &edit));
            let before = (garden.saved(), garden.replica.garden().clone());
            match garden.tries(who, document, edit.clone()) {
                Ok(_stands) => assert!(allowed, "{role:?} got through with {edit:?}"),
                Err(refused) => {
                    assert!(!allowed, "{role:?} {edit:?}: {refused}");
                    assert_eq!(refused.code, RefusalCode::NotAllowed, "{edit:?}");
                    assert!(refused.message.contains(role.word()), "{}", refused.message);
                    assert_eq!((garden.saved(), garden.replica.garden().clone()), before);
                }
            }
        }
    }
}

/// Whether what the edit is about is this person's own, told from how the small garden was made.
fn is_own(who: MemberId, edit: &Edit) -> bool {
    match kind(edit) {
        // The note of bed A1, and the claim that was done: both are Wren's.
        // And bed A1, whose crops are set and which is planted, and a payment from the garden to her.
        "WriteNote" | "NotDone" | "SetBedCrops" | "Plant" | "AddEntry" => who == wren(),
        // Everything else in the list is about what Ines put up, claimed or wrote down.
        _ => false,
    }
}

#[test]
fn what_is_ones_own_can_be_changed_by_its_owner_and_by_nobody_else_below_coordinator() {
    use selion_core::document::edit::{Claimable, TaskField};
    let task = ids::task(3);
    let change = |title: &str| Edit::ChangeTask {
        task,
        set: vec![TaskField::Title(title.to_owned())],
    };
    let mut garden = SmallGarden::new();
    garden.does(wren(), SEASON, change("Water the leeks"));
    let refused = garden.tries(tomasz(), SEASON, change("Water nothing"));
    assert_eq!(refused.unwrap_err().code, RefusalCode::NotAllowed);

    let (of, claim) = (Claimable::Task(task), ids::claim(20));
    garden.does(ash(), SEASON, Edit::Claim { of, claim });
    let give_back = Edit::GiveBack { of, claim };
    let refused = garden.tries(wren(), SEASON, give_back.clone());
    assert_eq!(refused.unwrap_err().code, RefusalCode::NotAllowed);
    garden.does(ash(), SEASON, give_back);
}

#[test]
fn a_member_enters_and_strikes_tests_of_beds_that_are_all_theirs_and_strikes_what_they_spread() {
    use selion_core::document::records::{AmendmentKind, SoilSheet};
    let on = crate::small_garden::day("2026-04-01");
    let add = |number, beds: &[u8]| Edit::AddSoilTest {
        test: ids::soil_test(number),
        sheet: SoilSheet::taken(on, beds.iter().map(|bed| ids::bed(*bed))),
    };
    let strike = |number| Edit::StrikeSoilTest {
        test: ids::soil_test(number),
        on,
    };
    let mut garden = SmallGarden::new();
    let mut refused = |who, document, edit| {
        let refused = garden.tries(who, document, edit).unwrap_err();
        assert_eq!(refused.code, RefusalCode::NotAllowed);
    };
    refused(wren(), GROUND, add(40, &[1, 2]));
    refused(wren(), GROUND, add(40, &[3]));
    refused(wren(), GROUND, strike(1));
    garden.does(wren(), GROUND, add(41, &[1]));
    garden.does(wren(), GROUND, strike(41));

    let (amendment, bed) = (ids::amendment(40), ids::bed(1));
    let spread = Edit::LogAmendment {
        amendment,
        bed,
        day: on,
        what: AmendmentKind::RawManure,
        amount: None,
        dug_in_on: None,
        word: String::new(),
    };
    // Ash spread it on Wren's bed; that it was dug in anybody may say, that it never happened only Ash or a coordinator.
    garden.does(ash(), SEASON, spread);
    garden.does(wren(), SEASON, Edit::DigIn { amendment, on });
    let strike = Edit::StrikeAmendment { amendment, on };
    let denied = garden.tries(wren(), SEASON, strike.clone()).unwrap_err();
    assert_eq!(denied.code, RefusalCode::NotAllowed);
    garden.does(ash(), SEASON, strike);
}

#[test]
fn a_task_of_the_same_id_in_another_year_does_not_make_this_years_task_ones_own() {
    use selion_core::document::edit::{Claimable, TaskField};
    let other_year = DocumentName::Season(2025);
    let mut garden = SmallGarden::new();
    garden.does(ines(), GROUND, Edit::OpenYear { year: 2025 });
    garden.replica.begin_missing(ids::NOW).unwrap();
    let task = ids::task(1);
    let forged = Edit::AddTask {
        task,
        title: "Mine, says Wren".to_owned(),
        bed: None,
        day: None,
        places: 1,
        minutes: selion_core::quantities::Minutes::new(5),
        job: None,
        note: String::new(),
    };
    let (of, claim) = (Claimable::Task(task), ids::claim(1));
    garden.does(wren(), other_year, forged);
    garden.does(wren(), other_year, Edit::Claim { of, claim });

    let set = vec![TaskField::Title("Taken over".to_owned())];
    for edit in [Edit::ChangeTask { task, set }, Edit::GiveBack { of, claim }] {
        let refused = garden.tries(wren(), SEASON, edit).unwrap_err();
        assert_eq!(refused.code, RefusalCode::NotAllowed);
    }
}

#[test]
fn an_edit_sent_to_a_document_where_it_does_not_belong_is_refused_whoever_sends_it() {
    for (home, edit) in every_edit() {
        for document in [GROUND, SEASON, LEDGER]
            .into_iter()
            .filter(|document| *document != home)
        {
            for who in [ines(), wren(), ash()] {
                let mut garden = SmallGarden::new();
                let before = garden.saved();
                let refused = garden.tries(who, document, edit.clone()).unwrap_err();
                assert_eq!(refused.code, RefusalCode::WrongPlace, "{edit:?}");
                assert_eq!(garden.saved(), before);
            }
        }
    }
}

#[test]
fn somebody_who_left_or_was_never_there_can_do_nothing() {
    use selion_core::document::edit::MemberField;
    for (document, edit) in every_edit() {
        let mut garden = SmallGarden::new();
        let set = vec![MemberField::EndedOn(Some(crate::small_garden::day(
            "2026-04-01",
        )))];
        let member = wren();
        garden.does(ines(), GROUND, Edit::ChangeMember { member, set });
        let before = garden.saved();
        for who in [wren(), ids::member(77)] {
            let refused = garden.tries(who, document, edit.clone()).unwrap_err();
            assert_eq!(refused.code, RefusalCode::NotAMember, "{edit:?}");
        }
        assert_eq!(garden.saved(), before);
    }
}

#[test]
fn one_edit_cannot_put_up_two_turns_with_the_same_id() {
    use selion_core::document::edit::NewTurn;
    let new = |number| NewTurn {
        turn: ids::turn(40),
        bed: ids::bed(number),
        day: crate::small_garden::day("2026-07-06"),
        holder: Some((wren(), ids::claim(40 + number))),
    };
    let mut garden = SmallGarden::new();
    let before = garden.saved();
    let turns = vec![new(1), new(2)];
    let refused = garden.tries(ines(), SEASON, Edit::AddTurns { turns });
    assert_eq!(refused.unwrap_err().code, RefusalCode::AlreadyThere);
    assert_eq!(garden.saved(), before);
}

#[test]
fn a_job_cannot_leave_out_a_bed_that_does_not_exist() {
    let mut garden = SmallGarden::new();
    let edit = Edit::AddJob {
        job: ids::job(40),
        title: "Clear the pond".to_owned(),
        total: selion_core::quantities::Minutes::new(60),
        beds_left_out: [(ids::bed(77), true)].into(),
    };
    let refused = garden.tries(ines(), SEASON, edit);
    assert_eq!(refused.unwrap_err().code, RefusalCode::NotThere);
}

#[test]
fn an_edit_for_another_garden_or_a_year_that_is_not_open_is_refused() {
    let mut garden = SmallGarden::new();
    let (document, edit) = every_edit().remove(0);
    let mut envelope = garden.envelope(document, edit);
    envelope.garden = ids::garden(2);
    let refused = garden
        .replica
        .apply(&envelope, ines(), ids::NOW)
        .unwrap_err();
    assert_eq!(refused.code, RefusalCode::WrongPlace);

    for (document, edit) in every_edit() {
        let closed = match document {
            DocumentName::Ground => continue,
            DocumentName::Season(_) => DocumentName::Season(1999),
            DocumentName::Ledger(_) => DocumentName::Ledger(1999),
        };
        let refused = garden.tries(ines(), closed, edit).unwrap_err();
        assert_eq!(refused.code, RefusalCode::YearNotOpen);
    }
}
