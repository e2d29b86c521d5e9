//! Accounts over a store in memory.

use selion_core::document::edit::MemberField;
use selion_core::document::{DocumentName, Edit, Role};
use selion_core::quantities::Day;

use super::*;
use crate::auth::Caller;
use crate::secret::PassphraseHash;
use crate::store::Read as _;
use crate::testing::{Bench, YEAR, new_garden};

const MINUTES_IN_DAY: i64 = 24 * 60;

fn gone<T: std::fmt::Debug>(outcome: &Result<T, AppError>) {
    assert!(matches!(outcome, Err(AppError::InviteGone)), "{outcome:?}");
}

fn forbidden<T: std::fmt::Debug>(outcome: &Result<T, AppError>) {
    assert!(
        matches!(outcome, Err(AppError::Forbidden(_))),
        "{outcome:?}"
    );
}

#[test]
fn a_garden_is_made_once_with_its_link() {
    let mut bench = Bench::new();
    let secret = new_garden_invite(&mut bench.desk()).unwrap().secret;
    let looked = look(&mut bench.desk(), &secret).unwrap();
    assert_eq!((looked.kind, looked.garden_name), ("new_garden", None));
    let joined = found(&mut bench.desk(), &secret, new_garden("Upper Meadow"), None).unwrap();
    let rowan = bench.somebody(&joined);
    let shown = me(&mut bench.desk(), rowan.caller()).unwrap();
    let [garden] = &shown.gardens[..] else {
        panic!("{shown:?}")
    };
    assert_eq!(
        (garden.name.as_str(), garden.role),
        ("Upper Meadow", Role::Coordinator)
    );
    assert_eq!(shown.person.name, "Rowan");
    gone(&found(
        &mut bench.desk(),
        &secret,
        new_garden("Another"),
        None,
    ));

    let second = new_garden_invite(&mut bench.desk()).unwrap().secret;
    let joined = found(
        &mut bench.desk(),
        &second,
        new_garden("Lower Meadow"),
        Some(rowan.caller()),
    )
    .unwrap();
    assert!(
        joined.enrolled.is_none(),
        "the same person, the same device"
    );
    assert_eq!(
        me(&mut bench.desk(), rowan.caller()).unwrap().gardens.len(),
        2
    );
}

#[test]
fn looking_at_an_invite_leaves_it_and_joining_uses_it_up() {
    let mut bench = Bench::new();
    let rowan = bench.garden("Upper Meadow");
    let member = bench.add_member(rowan, "Wren", Role::Helper);
    let secret = bench.invite(rowan, member);
    for _ in 0..3 {
        let looked = look(&mut bench.desk(), &secret).unwrap();
        assert_eq!(looked.kind, "garden");
        assert_eq!(looked.garden_name.as_deref(), Some("Upper Meadow"));
        assert_eq!(
            (looked.member_name.as_deref(), looked.role),
            (Some("Wren"), Some(Role::Helper))
        );
    }
    let joined = bench.join(&secret, None).unwrap();
    assert_eq!((joined.garden, joined.member), (rowan.garden, member));
    gone(&bench.join(&secret, None));
    gone(&look(&mut bench.desk(), &secret));
    gone(&bench.join(&Secret::for_invite(), None));
}

#[test]
fn an_invite_lives_seven_days_and_can_be_withdrawn() {
    let mut bench = Bench::new();
    let rowan = bench.garden("Upper Meadow");
    let member = bench.add_member(rowan, "Wren", Role::Helper);
    let (late, in_time) = (bench.invite(rowan, member), bench.invite(rowan, member));
    bench.advance_minutes(7 * MINUTES_IN_DAY - 1);
    bench.join(&in_time, None).unwrap();
    bench.advance_minutes(1);
    gone(&bench.join(&late, None));

    let made = invite(
        &mut bench.desk(),
        (rowan.person, rowan.member),
        rowan.garden,
        member,
    )
    .unwrap();
    withdraw(&mut bench.desk(), rowan.member, rowan.garden, made.id).unwrap();
    gone(&bench.join(&made.secret, None));
    let listed = invites(&mut bench.desk(), rowan.member, rowan.garden).unwrap();
    let states: Vec<_> = listed
        .iter()
        .map(|invite| (invite.used_at.is_some(), invite.revoked_at.is_some()))
        .collect();
    assert_eq!(states, [(false, false), (true, false), (false, true)]);
}

#[test]
fn an_invite_of_somebody_who_left_is_gone() {
    let mut bench = Bench::new();
    let rowan = bench.garden("Upper Meadow");
    let member = bench.add_member(rowan, "Wren", Role::Helper);
    let secret = bench.invite(rowan, member);
    let set = vec![MemberField::EndedOn(Day::new(YEAR, 1, 15))];
    bench.edit(
        rowan,
        DocumentName::Ground,
        Edit::ChangeMember { member, set },
    );
    gone(&look(&mut bench.desk(), &secret));
    gone(&bench.join(&secret, None));
}

#[test]
fn only_coordinators_keep_people() {
    let mut bench = Bench::new();
    let rowan = bench.garden("Upper Meadow");
    let wren = bench.member(rowan, "Wren", Role::Helper);
    let linnet = bench.member(rowan, "Linnet", Role::Member);
    for by in [wren, linnet] {
        forbidden(&invite(
            &mut bench.desk(),
            (by.person, by.member),
            rowan.garden,
            wren.member,
        ));
        forbidden(&invites(&mut bench.desk(), by.member, rowan.garden));
        forbidden(&revoke_in_garden(
            &mut bench.desk(),
            by.member,
            rowan.garden,
            rowan.member,
        ));
    }
    // A coordinator of one garden is nobody in another.
    let other = bench.garden("Lower Meadow");
    forbidden(&invite(
        &mut bench.desk(),
        (other.person, other.member),
        rowan.garden,
        wren.member,
    ));
    let made = invite(
        &mut bench.desk(),
        (rowan.person, rowan.member),
        rowan.garden,
        wren.member,
    )
    .unwrap();
    let foreign = withdraw(&mut bench.desk(), other.member, other.garden, made.id);
    assert!(matches!(foreign, Err(AppError::NotFound(_))), "{foreign:?}");
}

#[test]
fn unused_invites_are_bounded() {
    let mut bench = Bench::with_limits(crate::config::Limits {
        open_invites: 2,
        ..Default::default()
    });
    let rowan = bench.garden("Upper Meadow");
    let member = bench.add_member(rowan, "Wren", Role::Helper);
    let (first, _) = (bench.invite(rowan, member), bench.invite(rowan, member));
    let third = invite(
        &mut bench.desk(),
        (rowan.person, rowan.member),
        rowan.garden,
        member,
    );
    assert!(matches!(third, Err(AppError::TooLarge(_))));
    bench.join(&first, None).unwrap();
    bench.invite(rowan, member);
}

#[test]
fn who_is_here_already_brings_their_person_along() {
    let mut bench = Bench::new();
    let (upper, lower) = (bench.garden("Upper Meadow"), bench.garden("Lower Meadow"));
    let member = bench.add_member(upper, "Rowan of below", Role::Member);
    let secret = bench.invite(upper, member);
    let joined = bench.join(&secret, Some(lower.caller())).unwrap();
    assert!(joined.enrolled.is_none());
    assert_eq!(
        me(&mut bench.desk(), lower.caller()).unwrap().gardens.len(),
        2
    );

    let second = bench.add_member(upper, "Somebody else", Role::Member);
    let secret = bench.invite(upper, second);
    assert!(matches!(
        bench.join(&secret, Some(lower.caller())),
        Err(AppError::Taken(_))
    ));
    bench.join(&secret, None).unwrap();
}

#[test]
fn enrolled_again_means_one_garden_only() {
    let mut bench = Bench::new();
    let (upper, lower) = (bench.garden("Upper Meadow"), bench.garden("Lower Meadow"));
    let member = bench.add_member(upper, "Rowan of below", Role::Member);
    let secret = bench.invite(upper, member);
    bench.join(&secret, Some(lower.caller())).unwrap();

    // The coordinator of the upper garden vouches for whoever has this link, in the upper garden.
    let secret = bench.invite(upper, member);
    let enrolled = bench.join(&secret, None).unwrap().enrolled.unwrap();
    let device = bench.store.device(enrolled.device).unwrap().unwrap();
    assert_eq!(
        (device.person, device.garden),
        (lower.person, Some(upper.garden))
    );
    let scoped = Caller {
        person: device.person,
        device: device.id,
        only_garden: device.garden,
    };
    let gardens = me(&mut bench.desk(), scoped).unwrap().gardens;
    assert_eq!(
        gardens.iter().map(|garden| garden.id).collect::<Vec<_>>(),
        [upper.garden]
    );

    forbidden(&set_sign_in(
        &mut bench.desk(),
        scoped,
        "rowan".to_owned(),
        PassphraseHash::from_phc(String::new()),
    ));
    assert_eq!(
        devices(&bench.store, scoped).unwrap().len(),
        1,
        "it does not see the person's own devices"
    );
    let theirs = revoke_device(&mut bench.desk(), scoped, lower.device);
    assert!(matches!(theirs, Err(AppError::NotFound(_))));
    let linked = link_device(&mut bench.desk(), scoped).unwrap().secret;
    let further = bench.join(&linked, None).unwrap().enrolled.unwrap();
    assert_eq!(
        bench.store.device(further.device).unwrap().unwrap().garden,
        Some(upper.garden)
    );
    let third = bench.garden("Third Meadow");
    let member = bench.add_member(third, "Rowan", Role::Member);
    let secret = bench.invite(third, member);
    forbidden(&bench.join(&secret, Some(scoped)));
}

#[test]
fn a_coordinator_signs_devices_out_of_the_garden_alone() {
    let mut bench = Bench::new();
    let (upper, lower) = (bench.garden("Upper Meadow"), bench.garden("Lower Meadow"));
    let member = bench.add_member(upper, "Rowan of below", Role::Member);
    let secret = bench.invite(upper, member);
    bench.join(&secret, Some(lower.caller())).unwrap();
    let secret = bench.invite(upper, member);
    let scoped = bench.join(&secret, None).unwrap().enrolled.unwrap().device;

    assert_eq!(
        revoke_in_garden(&mut bench.desk(), upper.member, upper.garden, member).unwrap(),
        2
    );
    assert!(
        bench
            .store
            .device(scoped)
            .unwrap()
            .unwrap()
            .revoked_at
            .is_some()
    );
    assert!(
        bench
            .store
            .device(lower.device)
            .unwrap()
            .unwrap()
            .revoked_at
            .is_none()
    );
    let left: Vec<_> = me(&mut bench.desk(), lower.caller()).unwrap().gardens;
    assert_eq!(
        left.iter().map(|garden| garden.id).collect::<Vec<_>>(),
        [lower.garden]
    );
    let counts = enrolled(&bench.store, upper.garden).unwrap();
    assert_eq!(
        counts
            .iter()
            .find(|row| row.member == member)
            .map(|row| row.devices),
        Some(0)
    );

    let secret = bench.invite(upper, member);
    assert!(
        bench
            .join(&secret, Some(lower.caller()))
            .unwrap()
            .enrolled
            .is_none(),
        "let in again, on the same device"
    );
    assert_eq!(
        me(&mut bench.desk(), lower.caller()).unwrap().gardens.len(),
        2
    );
}

#[test]
fn a_further_device_is_linked_within_ten_minutes() {
    let mut bench = Bench::new();
    let rowan = bench.garden("Upper Meadow");
    let (late, in_time) = {
        let mut desk = bench.desk();
        (
            link_device(&mut desk, rowan.caller()).unwrap(),
            link_device(&mut desk, rowan.caller()).unwrap(),
        )
    };
    assert_eq!(
        look(&mut bench.desk(), &late.secret).unwrap().kind,
        "device"
    );
    bench.advance_minutes(9);
    let tablet = bench.join(&in_time.secret, None).unwrap().enrolled.unwrap();
    assert_eq!(
        bench.store.device(tablet.device).unwrap().unwrap().person,
        rowan.person
    );
    bench.advance_minutes(1);
    gone(&bench.join(&late.secret, None));

    let listed = devices(&bench.store, rowan.caller()).unwrap();
    assert_eq!(
        listed.iter().map(|device| device.this).collect::<Vec<_>>(),
        [true, false]
    );
    revoke_device(&mut bench.desk(), rowan.caller(), tablet.device).unwrap();
    assert!(
        devices(&bench.store, rowan.caller()).unwrap()[1]
            .revoked_at
            .is_some()
    );
}

#[test]
fn a_sign_in_name_is_taken_once() {
    let mut bench = Bench::new();
    let (upper, lower) = (bench.garden("Upper Meadow"), bench.garden("Lower Meadow"));
    let hash = || PassphraseHash::from_phc("hash".to_owned());
    set_sign_in(
        &mut bench.desk(),
        upper.caller(),
        "Rowan".to_owned(),
        hash(),
    )
    .unwrap();
    let taken = set_sign_in(
        &mut bench.desk(),
        lower.caller(),
        "rowan".to_owned(),
        hash(),
    );
    assert!(matches!(taken, Err(AppError::Taken(_))));
    let enrolled = sign_in(&mut bench.desk(), upper.person, "laptop".to_owned()).unwrap();
    assert_eq!(
        bench.store.device(enrolled.device).unwrap().unwrap().garden,
        None
    );
}

#[test]
fn names_are_one_line_and_neither_empty_nor_long() {
    assert_eq!(
        checked_name("name", "  Upper Meadow ", 80).unwrap(),
        "Upper Meadow"
    );
    let sentence = |text: &str| checked_name("name", text, 5).unwrap_err().to_string();
    assert_eq!(sentence(" "), "name: expected a name, but it is empty.");
    assert_eq!(
        sentence("meadow"),
        "name: expected at most 5 characters, but 6 came."
    );
    assert_eq!(sentence("a\nb"), "name: expected one line of text.");
}
