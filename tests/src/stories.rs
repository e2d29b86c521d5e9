//! What happens to people in a garden without a signal, one story a test, on the simulated phones and service.

use selion_core::document::edit::{BedField, Claimable, MemberField, NoteOf, TaskField};
use selion_core::document::records::{Payer, Place, Role, Standing};
use selion_core::document::{Edit, shared_out};
use selion_core::policy::RefusalCode;
use selion_core::quantities::Minutes;
use selion_core::sync::{Notice, RowState};

use crate::network::{Faults, World};
use crate::small_garden::{GROUND, LEDGER, SEASON, ash, day, ids, ines, rectangle, tomasz, wren};

/// The phones of these stories, by whose they are.
const INES: usize = 0;
const WREN: usize = 1;
const TOMASZ: usize = 2;
const ASH: usize = 3;
/// Long enough for everything under way to arrive, and for a phone to notice that its socket is dead.
const A_WHILE: i64 = 120_000;

fn world() -> World {
    World::new(1, Faults::none(), &[ines(), wren(), tomasz(), ash()])
}

fn free_task() -> Claimable {
    Claimable::Task(ids::task(2))
}

fn claim(number: u8) -> Edit {
    Edit::Claim {
        of: free_task(),
        claim: ids::claim(number),
    }
}

fn standing(world: &World, phone: usize, number: u8) -> Option<Standing> {
    let (_, task) = world.copy(phone).garden().task(ids::task(2))?;
    let found = task
        .in_order()
        .into_iter()
        .find(|(id, ..)| *id == ids::claim(number));
    found.map(|(.., standing)| standing)
}

/// Why the one set-aside edit of a phone was refused.
fn reason(world: &World, phone: usize) -> (RefusalCode, String) {
    let aside = world.copy(phone).outbox().set_aside();
    assert_eq!(aside.len(), 1, "{aside:?}");
    let RowState::SetAside { refused, .. } = &aside[0].state else {
        panic!("{:?}", aside[0]);
    };
    (refused.code, refused.message.clone())
}

fn all_is_well(mut world: World) {
    world.settle();
    world.check_all();
}

#[test]
fn two_people_without_a_signal_claim_the_one_place_and_the_later_to_arrive_is_told() {
    let mut world = world();
    world.loses_signal(WREN);
    world.loses_signal(TOMASZ);
    // Wren writes first, but Tomasz is first to have a signal: the order of arrival decides.
    world.write(WREN, SEASON, claim(30)).unwrap();
    world.write(TOMASZ, SEASON, claim(31)).unwrap();
    assert_eq!(
        standing(&world, WREN, 30),
        Some(Standing::Holds),
        "shown at once"
    );
    assert_eq!(world.copy(WREN).truth().waiting, 1);
    world.has_signal(TOMASZ);
    world.run_for(A_WHILE);
    world.has_signal(WREN);
    world.run_for(A_WHILE);
    for phone in [INES, WREN, TOMASZ, ASH] {
        assert_eq!(standing(&world, phone, 31), Some(Standing::Holds));
        assert_eq!(standing(&world, phone, 30), Some(Standing::StandsBy(1)));
    }
    let stands_by = Notice::StandsBy {
        of: free_task(),
        steps: 1,
    };
    assert_eq!(world.told(WREN), [stands_by]);
    assert_eq!(world.told(TOMASZ), []);

    let give_back = Edit::GiveBack {
        of: free_task(),
        claim: ids::claim(31),
    };
    world.write(TOMASZ, SEASON, give_back).unwrap();
    world.run_for(A_WHILE);
    assert_eq!(standing(&world, WREN, 30), Some(Standing::Holds));
    assert_eq!(
        world.told(WREN).last(),
        Some(&Notice::GotPlace { of: free_task() })
    );
    all_is_well(world);
}

#[test]
fn a_stand_by_is_handed_over_as_it_stands_and_whoever_gets_it_is_told_so() {
    let mut world = world();
    for (phone, number) in [(WREN, 30), (TOMASZ, 31), (ASH, 32)] {
        world.write(phone, SEASON, claim(number)).unwrap();
        world.run_for(1_000);
    }
    let hand_over = Edit::HandOver {
        of: free_task(),
        claim: ids::claim(31),
        to: ines(),
        new_claim: ids::claim(33),
    };
    world.write(TOMASZ, SEASON, hand_over).unwrap();
    world.run_for(A_WHILE);
    for phone in [INES, WREN, TOMASZ, ASH] {
        assert_eq!(standing(&world, phone, 30), Some(Standing::Holds));
        assert_eq!(standing(&world, phone, 33), Some(Standing::StandsBy(1)));
        assert_eq!(standing(&world, phone, 32), Some(Standing::StandsBy(2)));
        assert_eq!(standing(&world, phone, 31), None);
    }
    let of = free_task();
    assert_eq!(
        world.told(INES),
        [Notice::PutDown { of }, Notice::StandsBy { of, steps: 1 }]
    );
    assert_eq!(
        world.told(TOMASZ).last(),
        Some(&Notice::StandsBy { of, steps: 1 })
    );
    all_is_well(world);
}

#[test]
fn a_task_with_three_claims_on_one_place_keeps_them_in_the_order_they_came() {
    let mut world = world();
    for (phone, number) in [(WREN, 30), (TOMASZ, 31), (ASH, 32)] {
        world.write(phone, SEASON, claim(number)).unwrap();
        world.run_for(1_000);
    }
    assert_eq!(standing(&world, INES, 30), Some(Standing::Holds));
    assert_eq!(standing(&world, INES, 31), Some(Standing::StandsBy(1)));
    assert_eq!(standing(&world, INES, 32), Some(Standing::StandsBy(2)));
    let twice = world.write(ASH, SEASON, claim(33)).unwrap_err();
    assert_eq!(twice.code, RefusalCode::AlreadyClaimed);
    let done = Edit::Done {
        of: free_task(),
        claim: ids::claim(32),
        minutes: Minutes::new(10),
        on: day("2026-05-05"),
        word: String::new(),
    };
    assert_eq!(
        world.write(ASH, SEASON, done).unwrap_err().code,
        RefusalCode::OnStandBy
    );
    all_is_well(world);
}

#[test]
fn what_was_written_on_a_phone_that_was_signed_out_stays_on_it() {
    let mut world = world();
    world.loses_signal(WREN);
    let edit = world.write(WREN, SEASON, claim(30)).unwrap();
    world.run_for(1_000);
    world.revoke(WREN);
    world.has_signal(WREN);
    world.run_for(A_WHILE);
    assert_eq!(
        world.phones[WREN].ended.as_deref(),
        Some("This device was signed out.")
    );
    assert_eq!(
        world.copy(WREN).outbox().get(edit).unwrap().state,
        RowState::Waiting
    );
    assert_eq!(standing(&world, INES, 30), None);
    all_is_well(world);
}

#[test]
fn somebody_whose_role_was_taken_away_meanwhile_finds_the_edit_set_aside_and_the_ledger_gone() {
    let mut world = world();
    world.loses_signal(TOMASZ);
    let set = vec![TaskField::Places(2)];
    let own = Edit::AddTask {
        task: ids::task(40),
        title: "Stake the peas".to_owned(),
        bed: None,
        day: None,
        places: 1,
        minutes: Minutes::new(30),
        job: None,
        note: String::new(),
    };
    world.write(TOMASZ, SEASON, own).unwrap();
    let role = MemberField::Role(Role::Helper);
    let change = Edit::ChangeMember {
        member: tomasz(),
        set: vec![role],
    };
    world.write(INES, GROUND, change).unwrap();
    world.run_for(A_WHILE);
    world.has_signal(TOMASZ);
    world.run_for(A_WHILE);
    let (code, sentence) = reason(&world, TOMASZ);
    assert_eq!(code, RefusalCode::NotAllowed);
    assert_eq!(
        sentence,
        "As helper you may not do this; ask a coordinator."
    );
    assert!(
        world.copy(TOMASZ).garden().task(ids::task(40)).is_none(),
        "no longer shown as if it stood"
    );
    assert!(world.copy(TOMASZ).garden().ledgers.is_empty());
    assert_eq!(
        world.told(TOMASZ),
        [Notice::RoleChanged { role: Role::Helper }]
    );
    // The phone knows the new role now and does not take such an edit any more.
    let change = Edit::ChangeTask {
        task: ids::task(1),
        set,
    };
    assert_eq!(
        world.write(TOMASZ, SEASON, change).unwrap_err().code,
        RefusalCode::NotAllowed
    );
    all_is_well(world);
}

#[test]
fn somebody_who_left_is_told_and_keeps_what_was_not_sent() {
    let mut world = world();
    world.loses_signal(ASH);
    world.write(ASH, SEASON, claim(30)).unwrap();
    let ended = MemberField::EndedOn(Some(day("2026-05-05")));
    world
        .write(
            INES,
            GROUND,
            Edit::ChangeMember {
                member: ash(),
                set: vec![ended],
            },
        )
        .unwrap();
    world.run_for(A_WHILE);
    world.has_signal(ASH);
    world.run_for(A_WHILE);
    assert_eq!(
        world.phones[ASH].ended.as_deref(),
        Some("You are no longer in this garden.")
    );
    assert_eq!(world.copy(ASH).truth().waiting, 1);
    // Back again, everything goes on where it was.
    let back = Edit::ChangeMember {
        member: ash(),
        set: vec![MemberField::EndedOn(None)],
    };
    world.write(INES, GROUND, back).unwrap();
    world.run_for(A_WHILE);
    world.phone_opens(ASH);
    world.run_for(A_WHILE);
    assert_eq!(standing(&world, INES, 30), Some(Standing::Holds));
    all_is_well(world);
}

#[test]
fn the_last_coordinator_cannot_leave_or_step_down() {
    let mut world = world();
    for field in [
        MemberField::EndedOn(Some(day("2026-05-05"))),
        MemberField::Role(Role::Member),
    ] {
        let change = Edit::ChangeMember {
            member: ines(),
            set: vec![field],
        };
        let refused = world.write(INES, GROUND, change).unwrap_err();
        assert_eq!(refused.code, RefusalCode::LastCoordinator);
        assert_eq!(
            refused.message,
            "Ines is the only coordinator; make somebody else coordinator first."
        );
    }
}

#[test]
fn a_task_for_a_bed_that_was_given_up_meanwhile_is_set_aside_with_the_beds_name() {
    let mut world = world();
    world.loses_signal(WREN);
    let task = Edit::AddTask {
        task: ids::task(40),
        title: "Net the berries".to_owned(),
        bed: Some(ids::bed(3)),
        day: None,
        places: 1,
        minutes: Minutes::ZERO,
        job: None,
        note: String::new(),
    };
    world.write(WREN, SEASON, task).unwrap();
    let given_up = BedField::EndedOn(Some(day("2026-05-05")));
    world
        .write(
            INES,
            GROUND,
            Edit::ChangeBed {
                bed: ids::bed(3),
                set: vec![given_up],
            },
        )
        .unwrap();
    world.run_for(A_WHILE);
    world.has_signal(WREN);
    world.run_for(A_WHILE);
    assert_eq!(
        reason(&world, WREN),
        (
            RefusalCode::Ended,
            "Bed C1 was given up meanwhile.".to_owned()
        )
    );
    all_is_well(world);
}

#[test]
fn a_task_called_off_is_told_to_those_who_had_claimed_it_and_takes_no_more_claims() {
    let mut world = world();
    world.write(WREN, SEASON, claim(30)).unwrap();
    world.run_for(A_WHILE);
    world.loses_signal(WREN);
    world.loses_signal(TOMASZ);
    world.write(TOMASZ, SEASON, claim(31)).unwrap();
    let called_off = TaskField::EndedOn(Some(day("2026-05-05")));
    world
        .write(
            INES,
            SEASON,
            Edit::ChangeTask {
                task: ids::task(2),
                set: vec![called_off],
            },
        )
        .unwrap();
    world.run_for(A_WHILE);
    world.has_signal(WREN);
    world.has_signal(TOMASZ);
    world.run_for(A_WHILE);
    assert_eq!(world.told(WREN), [Notice::CalledOff { of: free_task() }]);
    let sentence = "The task “Mend the barrow” was called off meanwhile.".to_owned();
    assert_eq!(reason(&world, TOMASZ), (RefusalCode::Ended, sentence));
    all_is_well(world);
}

#[test]
fn two_people_write_one_note_without_a_signal_and_both_their_words_are_in_it_once() {
    let mut world = world();
    let of = NoteOf::Task(ids::task(1));
    let note = |world: &World, phone: usize, text: &str| Edit::WriteNote {
        of,
        text: text.to_owned(),
        base: world.copy(phone).note_base(of, SEASON),
    };
    let first = note(&world, INES, "Start at the gate");
    world.write(INES, SEASON, first).unwrap();
    world.run_for(A_WHILE);
    world.loses_signal(WREN);
    world.loses_signal(TOMASZ);
    for (phone, text) in [
        (WREN, "Start at the far gate"),
        (WREN, "Start at the far gate, with gloves"),
        (TOMASZ, "Mind the toads. Start at the gate"),
    ] {
        let edit = note(&world, phone, text);
        world.write(phone, SEASON, edit).unwrap();
    }
    world.has_signal(TOMASZ);
    world.run_for(A_WHILE);
    world.has_signal(WREN);
    world.run_for(A_WHILE);
    for phone in [INES, WREN, TOMASZ, ASH] {
        let (_, task) = world.copy(phone).garden().task(ids::task(1)).unwrap();
        assert_eq!(
            task.note,
            "Mind the toads. Start at the far gate, with gloves"
        );
    }
    all_is_well(world);
}

#[test]
fn an_order_whose_shares_changed_since_they_were_looked_at_is_not_closed() {
    let mut world = world();
    let close = |world: &World| {
        let garden = world.copy(INES).garden();
        let shares = shared_out::order(garden, garden.order(ids::order(1)).unwrap().1).unwrap();
        let seen = shared_out::mark_of_order(&shares.result);
        Edit::CloseOrder {
            order: ids::order(1),
            on: day("2026-05-05"),
            seen,
        }
    };
    // Ines looks at the shares on her phone; meanwhile bed A1 is measured anew on another one.
    let set = vec![MemberField::Role(Role::Coordinator)];
    world
        .write(
            INES,
            GROUND,
            Edit::ChangeMember {
                member: tomasz(),
                set,
            },
        )
        .unwrap();
    world.run_for(A_WHILE);
    world.loses_signal(INES);
    let edit = close(&world);
    world.write(INES, LEDGER, edit).unwrap();
    let larger = BedField::Outline(rectangle(0, 0, 7_000, 1_200));
    world
        .write(
            TOMASZ,
            GROUND,
            Edit::ChangeBed {
                bed: ids::bed(1),
                set: vec![larger],
            },
        )
        .unwrap();
    world.run_for(A_WHILE);
    world.has_signal(INES);
    world.run_for(A_WHILE);
    let (code, sentence) = reason(&world, INES);
    assert_eq!(code, RefusalCode::SharesChanged);
    assert!(
        sentence.ends_with("look at them again, then close."),
        "{sentence}"
    );
    assert!(
        world
            .copy(INES)
            .garden()
            .order(ids::order(1))
            .unwrap()
            .1
            .is_open()
    );

    let edit = close(&world);
    world.write(INES, LEDGER, edit).unwrap();
    world.run_for(A_WHILE);
    let (_, order) = world.copy(WREN).garden().order(ids::order(1)).unwrap();
    let closed = order.closed.as_ref().unwrap();
    let shares = &closed.shares;
    let pays = shares.accounts[&Payer::Member(wren())].pays;
    assert!(world.told(WREN).contains(&Notice::OrderClosed {
        order: ids::order(1),
        pays
    }));
    let accounts = shares.accounts.values();
    let sum: i64 = accounts.map(|share| share.pays.minor()).sum();
    assert_eq!(sum, shares.total.minor(), "the shares add up to the whole");
    all_is_well(world);
}

#[test]
fn somebody_else_takes_a_done_claim_back_and_its_owner_is_told() {
    let mut world = world();
    let (of, claim) = (Claimable::Task(ids::task(1)), ids::claim(2));
    world.loses_signal(WREN);
    world
        .write(INES, SEASON, Edit::NotDone { of, claim })
        .unwrap();
    world
        .write(INES, SEASON, Edit::GiveBack { of, claim })
        .unwrap();
    world.run_for(A_WHILE);
    world.has_signal(WREN);
    world.run_for(A_WHILE);
    assert_eq!(world.told(WREN), [Notice::TakenOff { of, claim }]);
    all_is_well(world);
}

#[test]
fn what_a_phone_said_is_saved_survives_its_death() {
    let mut world = world();
    world.loses_signal(WREN);
    let edit = world.write(WREN, SEASON, claim(30)).unwrap();
    assert_eq!(world.copy(WREN).truth().unsaved, 1);
    world.run_for(1_000);
    assert_eq!(world.copy(WREN).truth().unsaved, 0, "now it says saved");
    world.phone_dies(WREN);
    world.phone_opens(WREN);
    assert_eq!(
        world.copy(WREN).outbox().get(edit).unwrap().state,
        RowState::Waiting
    );
    assert_eq!(
        standing(&world, WREN, 30),
        Some(Standing::Holds),
        "shown before any signal"
    );
    world.has_signal(WREN);
    world.run_for(A_WHILE);
    assert_eq!(standing(&world, INES, 30), Some(Standing::Holds));
    all_is_well(world);
}

#[test]
fn an_accepted_edit_that_a_restored_backup_lacks_comes_back_from_the_phone_that_wrote_it() {
    let mut world = world();
    world.back_up();
    world.write(WREN, SEASON, claim(30)).unwrap();
    world.run_for(A_WHILE);
    assert_eq!(standing(&world, INES, 30), Some(Standing::Holds));
    world.loses_signal(WREN);
    world.restore();
    world.run_for(A_WHILE);
    assert_eq!(
        standing(&world, INES, 30),
        None,
        "the backup is older than the claim"
    );
    world.has_signal(WREN);
    world.run_for(A_WHILE);
    assert_eq!(standing(&world, INES, 30), Some(Standing::Holds));
    all_is_well(world);
}

#[test]
fn whoever_lost_a_place_to_a_restored_backup_is_told() {
    let mut world = world();
    world.back_up();
    world.write(WREN, SEASON, claim(30)).unwrap();
    world.run_for(A_WHILE);
    world.loses_signal(WREN);
    world.restore();
    world.run_for(A_WHILE);
    world.write(TOMASZ, SEASON, claim(31)).unwrap();
    world.run_for(A_WHILE);
    world.has_signal(WREN);
    world.run_for(A_WHILE);
    assert_eq!(standing(&world, WREN, 31), Some(Standing::Holds));
    assert_eq!(standing(&world, WREN, 30), Some(Standing::StandsBy(1)));
    assert!(
        world.told(WREN).contains(&Notice::StandsBy {
            of: free_task(),
            steps: 1
        }),
        "{:?}",
        world.told(WREN)
    );
    all_is_well(world);
}

#[test]
fn a_phone_whose_network_lets_no_socket_open_sends_and_hears_by_request() {
    let mut world = world();
    world.phones[WREN].sockets = false;
    world.loses_signal(WREN);
    world.has_signal(WREN);
    world.write(WREN, SEASON, claim(30)).unwrap();
    world.run_for(2 * A_WHILE);
    assert!(world.times("reply") > 0);
    assert_eq!(standing(&world, INES, 30), Some(Standing::Holds));
    world
        .write(
            INES,
            SEASON,
            Edit::GiveBack {
                of: free_task(),
                claim: ids::claim(30),
            },
        )
        .unwrap();
    world.run_for(A_WHILE);
    assert_eq!(
        standing(&world, WREN, 30),
        None,
        "what others wrote comes down too"
    );
    all_is_well(world);
}

#[test]
fn a_clock_set_back_by_days_does_not_keep_a_phone_from_coming_back() {
    let mut world = world();
    world.loses_signal(WREN);
    world.run_for(A_WHILE);
    world.phones[WREN].ahead = -4 * 86_400_000;
    world.write(WREN, SEASON, claim(30)).unwrap();
    // Nobody wakes the phone: it has to try again by itself.
    world.phones[WREN].signal = true;
    world.run_for(A_WHILE);
    assert_eq!(standing(&world, INES, 30), Some(Standing::Holds));
    all_is_well(world);
}

#[test]
fn a_service_that_cannot_write_is_asked_ever_less_often_and_nothing_is_lost() {
    let mut world = world();
    world.service.disk_is_full = true;
    world.restart_service();
    world.write(WREN, SEASON, claim(30)).unwrap();
    let before = world.times("resync");
    world.run_for(60 * 60_000);
    let asked = world.times("resync") - before;
    assert!((10..400).contains(&asked), "{asked} times in an hour");
    assert_eq!(world.copy(WREN).truth().waiting, 1);
    world.service.disk_is_full = false;
    all_is_well(world);
}
