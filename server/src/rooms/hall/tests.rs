//! A garden over a store in memory whose commits can be made to fail.

use proptest::prelude::*;
use selion_core::document::edit::MemberField;
use selion_core::document::{DocumentName, Edit, Envelope, Role};
use selion_core::ordered::Map;
use selion_core::policy::{RefusalCode, Refused};
use selion_core::quantities::Day;
use selion_core::sync::Replica;
use selion_core::sync::frame::{ClientFrame, PROTOCOL, ServerFrame, Verdict};

use super::super::room::{RoomError, guarded};
use super::{Arrival, CLOSE_REVOKED, CLOSE_TRY_LATER, CLOSE_WRONG, Effect, SessionId};
use crate::config::Limits;
use crate::store::memory::Fate;
use crate::store::rows::Write;
use crate::store::{Read as _, Store as _};
use crate::testing::{Bench, Somebody, YEAR, answers, edits, hello, sent_to};

const SEASON: DocumentName = DocumentName::Season(YEAR);
const LEDGER: DocumentName = DocumentName::Ledger(YEAR);

fn refusal(verdict: &Verdict) -> Option<RefusalCode> {
    match verdict {
        Verdict::Refused(Refused { code, .. }) => Some(*code),
        Verdict::Accepted { .. } => None,
    }
}

fn closed(effects: &[Effect], session: SessionId) -> Option<u16> {
    effects.iter().find_map(|effect| match effect {
        Effect::Close(of, code) if *of == session => Some(*code),
        Effect::Close(..) | Effect::Send(..) => None,
    })
}

fn snapshots_of(frames: &[ServerFrame]) -> Vec<DocumentName> {
    let names = frames.iter().filter_map(|frame| {
        if let ServerFrame::Snapshot { document, .. } = frame {
            Some(*document)
        } else {
            None
        }
    });
    names.collect()
}

fn leave(bench: &mut Bench, by: Somebody, who: Somebody) -> Vec<Effect> {
    change_member(bench, by, who, MemberField::EndedOn(Day::new(YEAR, 1, 15)))
}

fn change_member(
    bench: &mut Bench,
    by: Somebody,
    who: Somebody,
    field: MemberField,
) -> Vec<Effect> {
    let session = bench.greeted(by);
    let edit = Edit::ChangeMember {
        member: who.member,
        set: vec![field],
    };
    let envelope = bench.envelope(by.garden, DocumentName::Ground, edit);
    bench.turn(vec![Arrival::Frame(session, edits([&envelope]).write())])
}

#[test]
fn hello_brings_what_the_role_may_read() {
    let mut bench = Bench::new();
    let rowan = bench.garden("Upper Meadow");
    let helper = bench.member(rowan, "Wren", Role::Helper);
    for (who, role, documents) in [
        (
            rowan,
            Role::Coordinator,
            vec![DocumentName::Ground, SEASON, LEDGER],
        ),
        (helper, Role::Helper, vec![DocumentName::Ground, SEASON]),
    ] {
        let session = bench.open(who);
        let frames = bench.say(session, &hello());
        let ServerFrame::Welcome {
            role: told,
            documents: listed,
            member,
            ..
        } = &frames[0]
        else {
            panic!("no welcome: {frames:?}")
        };
        assert_eq!((*told, *member), (role, who.member));
        assert_eq!(listed.keys().copied().collect::<Vec<_>>(), documents);
        assert_eq!(snapshots_of(&frames), documents);
    }
}

#[test]
fn a_cursor_brings_only_what_came_after_it() {
    let mut bench = Bench::new();
    let rowan = bench.garden("Upper Meadow");
    let first = bench.greeted(rowan);
    let (one, two) = (
        bench.task(rowan.garden, "water"),
        bench.task(rowan.garden, "weed"),
    );
    bench.say(first, &edits([&one, &two]));

    let epoch = Some(format!("{:032x}", u128::from_be_bytes([7; 16])));
    let from = |cursor: u64, epoch: &Option<String>| ClientFrame::Hello {
        protocol: PROTOCOL,
        epoch: epoch.clone(),
        cursors: Map::from([(DocumentName::Ground, 2), (SEASON, cursor), (LEDGER, 1)]),
    };
    let session = bench.open(rowan);
    let frames = bench.say(session, &from(2, &epoch));
    assert_eq!(
        frames.len(),
        2,
        "a welcome and one run of changes: {frames:?}"
    );
    assert!(
        matches!(&frames[1], ServerFrame::Changes { document: SEASON, first: 3, changes, .. } if changes.len() == 1)
    );
    assert_eq!(
        bench.say(session, &from(3, &epoch)).len(),
        1,
        "nothing is missing"
    );
    assert_eq!(
        snapshots_of(&bench.say(session, &from(9, &epoch))),
        [SEASON],
        "a cursor beyond the end"
    );
    let another = Some("an epoch before a restore".to_owned());
    assert_eq!(
        snapshots_of(&bench.say(session, &from(3, &another))).len(),
        3
    );
}

#[test]
fn an_edit_is_answered_and_the_others_are_told() {
    let mut bench = Bench::new();
    let rowan = bench.garden("Upper Meadow");
    let helper = bench.member(rowan, "Wren", Role::Helper);
    let (by, other) = (bench.greeted(rowan), bench.greeted(helper));
    let envelope = bench.task(rowan.garden, "mend the gate");
    let effects = bench.turn(vec![Arrival::Frame(by, edits([&envelope]).write())]);

    let [answer] = answers(&sent_to(&effects, by)).try_into().unwrap();
    assert_eq!((answer.edit, answer.again), (envelope.id, false));
    assert!(matches!(
        answer.verdict,
        Verdict::Accepted {
            document: SEASON,
            sequence: Some(2),
            ..
        }
    ));
    for session in [by, other] {
        let told = sent_to(&effects, session);
        assert!(
            matches!(
                &told[0],
                ServerFrame::Changes {
                    document: SEASON,
                    first: 2,
                    ..
                }
            ),
            "{told:?}"
        );
    }
    assert_eq!(answers(&sent_to(&effects, other)), []);
    assert_eq!(bench.tasks_on_disk(rowan.garden), ["mend the gate"]);
}

#[test]
fn what_was_answered_is_answered_alike_for_ever() {
    let mut bench = Bench::new();
    let rowan = bench.garden("Upper Meadow");
    let helper = bench.member(rowan, "Wren", Role::Helper);
    let (good, bad) = (
        bench.task(rowan.garden, "mow"),
        bench.task(rowan.garden, "not a helper's to put up"),
    );
    let (ours, theirs) = (bench.greeted(rowan), bench.greeted(helper));
    let accepted = answers(&bench.say(ours, &edits([&good, &good])));
    assert_eq!(
        accepted
            .iter()
            .map(|answer| answer.again)
            .collect::<Vec<_>>(),
        [false, true],
        "twice in one frame"
    );
    let refused = answers(&bench.say(theirs, &edits([&bad])));
    assert_eq!(refusal(&refused[0].verdict), Some(RefusalCode::NotAllowed));

    bench.restart();
    let (ours, theirs) = (bench.greeted(rowan), bench.greeted(helper));
    let again = answers(&bench.say(ours, &edits([&good])));
    assert_eq!(
        (again[0].again, &again[0].verdict),
        (true, &accepted[0].verdict)
    );
    let again = answers(&bench.say(theirs, &edits([&bad])));
    assert_eq!(
        (again[0].again, &again[0].verdict),
        (true, &refused[0].verdict)
    );
    assert_eq!(bench.tasks_on_disk(rowan.garden), ["mow"]);

    let other = answers(&bench.say(theirs, &edits([&good])));
    assert_eq!(
        refusal(&other[0].verdict),
        Some(RefusalCode::AlreadyThere),
        "somebody else's edit is not told"
    );
}

#[test]
fn edits_of_many_share_one_commit() {
    let mut bench = Bench::new();
    let rowan = bench.garden("Upper Meadow");
    let linnet = bench.member(rowan, "Linnet", Role::Member);
    let sessions = [bench.greeted(rowan), bench.greeted(linnet)];
    let before = bench.store.commits();
    let mut arrivals = Vec::new();
    for title in ["a", "b", "c"] {
        for session in sessions {
            let envelope = bench.task(rowan.garden, title);
            arrivals.push(Arrival::Frame(session, edits([&envelope]).write()));
        }
    }
    let effects = bench.turn(arrivals);
    assert_eq!(bench.store.commits() - before, 1);
    assert_eq!(answers(&sent_to(&effects, sessions[0])).len(), 3);
    assert_eq!(bench.tasks_on_disk(rowan.garden).len(), 6);
}

#[test]
fn nobody_is_told_of_what_could_not_be_written() {
    for (fate, already_there) in [
        (Fate::Failed, false),
        (Fate::WrittenButReportedFailed, true),
    ] {
        let mut bench = Bench::new();
        let rowan = bench.garden("Upper Meadow");
        let linnet = bench.member(rowan, "Linnet", Role::Member);
        let (by, other) = (bench.greeted(rowan), bench.greeted(linnet));
        let envelope = bench.task(rowan.garden, "dig");
        bench.store.fail_commits(move |_| fate);
        let effects = bench.turn(vec![Arrival::Frame(by, edits([&envelope]).write())]);
        for session in [by, other] {
            assert_eq!(sent_to(&effects, session), [ServerFrame::Resync]);
            assert_eq!(closed(&effects, session), Some(CLOSE_TRY_LATER));
        }

        bench.store.fail_commits(|_| Fate::Written);
        let by = bench.greeted(rowan);
        let answer = answers(&bench.say(by, &edits([&envelope]))).remove(0);
        assert_eq!(answer.again, already_there, "{fate:?}");
        assert_eq!(refusal(&answer.verdict), None);
        assert_eq!(bench.tasks_on_disk(rowan.garden), ["dig"], "{fate:?}");
    }
}

#[test]
fn texts_that_are_no_edits_are_refused_one_by_one() {
    let mut bench = Bench::new();
    let rowan = bench.garden("Upper Meadow");
    let session = bench.greeted(rowan);
    let good = bench.task(rowan.garden, "sow");
    let broken = bench
        .task(rowan.garden, "x")
        .write()
        .replace("add_task", "add_dragon");
    let newer = bench
        .task(rowan.garden, "y")
        .write()
        .replace("\"version\":1", "\"version\":2");
    let frame = ClientFrame::Edits {
        edits: vec![broken.clone(), newer.clone(), "{".to_owned(), good.write()],
    };
    let frames = bench.say(session, &frame);
    let codes: Vec<_> = answers(&frames)
        .iter()
        .map(|answer| refusal(&answer.verdict))
        .collect();
    assert_eq!(
        codes,
        [
            Some(RefusalCode::BadInput),
            Some(RefusalCode::NewerVersion),
            None
        ]
    );
    assert!(
        frames
            .iter()
            .any(|frame| matches!(frame, ServerFrame::Wrong { .. })),
        "the one without an id: {frames:?}"
    );

    let again = ClientFrame::Edits {
        edits: vec![broken, newer],
    };
    let known: Vec<_> = answers(&bench.say(session, &again))
        .iter()
        .map(|answer| answer.again)
        .collect();
    assert_eq!(
        known,
        [true, false],
        "an edit from the future is judged anew once it can be read"
    );
}

#[test]
fn edits_wait_for_hello() {
    let mut bench = Bench::new();
    let rowan = bench.garden("Upper Meadow");
    let session = bench.open(rowan);
    let envelope = bench.task(rowan.garden, "too early");
    assert_eq!(
        bench.say(session, &edits([&envelope])),
        [ServerFrame::Resync]
    );
    bench.say(session, &hello());
    bench.turn(vec![Arrival::Stalled(session)]);
    assert_eq!(
        bench.say(session, &edits([&envelope])),
        [ServerFrame::Resync],
        "after its queue overflowed"
    );
    assert!(bench.tasks_on_disk(rowan.garden).is_empty());
}

#[test]
fn a_revoked_device_is_let_go_and_its_edits_stay_out() {
    let mut bench = Bench::new();
    let rowan = bench.garden("Upper Meadow");
    let linnet = bench.member(rowan, "Linnet", Role::Member);
    let session = bench.greeted(linnet);
    let effects = bench.hall.revoke(linnet.device, None);
    assert!(matches!(
        sent_to(&effects, session)[..],
        [ServerFrame::Revoked { .. }]
    ));
    assert_eq!(closed(&effects, session), Some(CLOSE_REVOKED));

    // Revoked from the command line of another process: noticed at the next batch.
    let session = bench.greeted(linnet);
    bench
        .store
        .commit(&[Write::RevokeDevice(linnet.device, bench.now)])
        .unwrap();
    let envelope = bench.task(rowan.garden, "too late");
    let effects = bench.turn(vec![Arrival::Frame(session, edits([&envelope]).write())]);
    assert!(matches!(
        sent_to(&effects, session)[..],
        [ServerFrame::Revoked { .. }]
    ));
    assert!(bench.tasks_on_disk(rowan.garden).is_empty());
    let session = bench.open(linnet);
    assert!(matches!(
        bench.say(session, &hello())[..],
        [ServerFrame::Revoked { .. }]
    ));
}

#[test]
fn who_leaves_is_let_go_and_cannot_come_back_in() {
    let mut bench = Bench::new();
    let rowan = bench.garden("Upper Meadow");
    let linnet = bench.member(rowan, "Linnet", Role::Member);
    let session = bench.greeted(linnet);
    let effects = leave(&mut bench, rowan, linnet);
    assert!(matches!(
        sent_to(&effects, session)[..],
        [.., ServerFrame::Revoked { .. }]
    ));
    assert_eq!(closed(&effects, session), Some(CLOSE_REVOKED));
    let session = bench.open(linnet);
    assert!(matches!(
        bench.say(session, &hello())[..],
        [ServerFrame::Revoked { .. }]
    ));
}

#[test]
fn the_ledger_comes_and_goes_with_the_role() {
    let mut bench = Bench::new();
    let rowan = bench.garden("Upper Meadow");
    let linnet = bench.member(rowan, "Linnet", Role::Member);
    let session = bench.greeted(linnet);
    let effects = change_member(&mut bench, rowan, linnet, MemberField::Role(Role::Helper));
    assert!(sent_to(&effects, session).contains(&ServerFrame::Withdrawn { document: LEDGER }));
    let again = bench.say(session, &ClientFrame::Again { document: LEDGER });
    assert_eq!(again, [ServerFrame::Withdrawn { document: LEDGER }]);

    let effects = change_member(&mut bench, rowan, linnet, MemberField::Role(Role::Member));
    assert_eq!(snapshots_of(&sent_to(&effects, session)), [LEDGER]);
    let cursors = Map::from([(LEDGER, 1)]);
    change_member(&mut bench, rowan, linnet, MemberField::Role(Role::Helper));
    let epoch = Some(format!("{:032x}", u128::from_be_bytes([7; 16])));
    let frames = bench.say(
        session,
        &ClientFrame::Hello {
            protocol: PROTOCOL,
            epoch,
            cursors,
        },
    );
    assert!(
        frames.contains(&ServerFrame::Withdrawn { document: LEDGER }),
        "also when it happened while away"
    );
}

#[test]
fn opening_a_year_brings_its_documents_to_everybody() {
    let mut bench = Bench::new();
    let rowan = bench.garden("Upper Meadow");
    let helper = bench.member(rowan, "Wren", Role::Helper);
    let (by, other) = (bench.greeted(rowan), bench.greeted(helper));
    let envelope = bench.envelope(
        rowan.garden,
        DocumentName::Ground,
        Edit::OpenYear { year: YEAR + 1 },
    );
    let effects = bench.turn(vec![Arrival::Frame(by, edits([&envelope]).write())]);
    let told = |session| {
        let changes = sent_to(&effects, session).into_iter().filter_map(|frame| {
            if let ServerFrame::Changes { document, .. } = frame {
                Some(document)
            } else {
                None
            }
        });
        changes.collect::<Vec<_>>()
    };
    let next = [
        DocumentName::Season(YEAR + 1),
        DocumentName::Ledger(YEAR + 1),
    ];
    assert_eq!(told(by), [DocumentName::Ground, next[0], next[1]]);
    assert_eq!(told(other), [DocumentName::Ground, next[0]]);
    bench.restart();
    let session = bench.open(rowan);
    assert_eq!(snapshots_of(&bench.say(session, &hello())).len(), 5);
}

#[test]
fn a_device_that_floods_is_told_to_come_back() {
    let limits = Limits {
        edit_burst: 3,
        edits_a_minute: 60,
        ..Limits::default()
    };
    let mut bench = Bench::with_limits(limits);
    let rowan = bench.garden("Upper Meadow");
    let session = bench.greeted(rowan);
    let envelopes: Vec<Envelope> = (0..4)
        .map(|number| bench.task(rowan.garden, &number.to_string()))
        .collect();
    assert_eq!(
        answers(&bench.say(session, &edits(&envelopes[..3]))).len(),
        3
    );
    let effects = bench.turn(vec![Arrival::Frame(
        session,
        edits(&envelopes[3..]).write(),
    )]);
    assert_eq!(closed(&effects, session), Some(CLOSE_TRY_LATER));
    bench.advance_minutes(1);
    let session = bench.greeted(rowan);
    assert_eq!(
        answers(&bench.say(session, &edits(&envelopes[3..]))).len(),
        1,
        "later it goes through"
    );
}

#[test]
fn a_device_with_too_many_sessions_loses_its_oldest() {
    let limits = Limits {
        sockets_of_device: 2,
        ..Limits::default()
    };
    let mut bench = Bench::with_limits(limits);
    let rowan = bench.garden("Upper Meadow");
    let linnet = bench.member(rowan, "Linnet", Role::Member);
    let (oldest, other) = (bench.greeted(rowan), bench.greeted(linnet));
    let newer = bench.greeted(rowan);
    let newest = SessionId(999);
    let effects = bench.turn(vec![Arrival::Opened(newest, rowan.attendee())]);
    assert_eq!(closed(&effects, oldest), Some(CLOSE_TRY_LATER));
    for session in [other, newer, newest] {
        assert_eq!(closed(&effects, session), None);
        assert_eq!(bench.say(session, &ClientFrame::Ping), [ServerFrame::Pong]);
    }
}

#[test]
fn what_is_no_frame_ends_the_session() {
    let mut bench = Bench::new();
    let rowan = bench.garden("Upper Meadow");
    let old = ClientFrame::Hello {
        protocol: 99,
        epoch: None,
        cursors: Map::new(),
    };
    for text in [
        String::new(),
        "{}".to_owned(),
        old.write(),
        "x".repeat(70_000),
    ] {
        let session = bench.open(rowan);
        let effects = bench.turn(vec![Arrival::Frame(session, text)]);
        assert!(matches!(
            sent_to(&effects, session)[..],
            [ServerFrame::Wrong { .. }]
        ));
        assert_eq!(closed(&effects, session), Some(CLOSE_WRONG));
        assert_eq!(
            bench.say(session, &ClientFrame::Ping),
            [],
            "nobody is there any more"
        );
    }
}

#[test]
fn snapshots_take_the_place_of_changes_only_once_they_were_read_back() {
    let limits = Limits {
        changes_between_snapshots: 5,
        ..Limits::default()
    };
    let mut bench = Bench::with_limits(limits);
    let rowan = bench.garden("Upper Meadow");
    let session = bench.greeted(rowan);
    let write = |bench: &mut Bench, count: usize| {
        for number in 0..count {
            let envelope = bench.task(rowan.garden, &format!("task {number}"));
            assert_eq!(answers(&bench.say(session, &edits([&envelope]))).len(), 1);
        }
    };
    write(&mut bench, 4);
    let kept = |bench: &Bench| {
        let changes = bench.store.changes(rowan.garden, SEASON, 0, 100).unwrap();
        let snapshots = bench.store.snapshots(rowan.garden, SEASON).unwrap();
        assert!(
            snapshots
                .iter()
                .all(|snapshot| snapshot.verified_at.is_some())
        );
        let upto = snapshots
            .iter()
            .map(|snapshot| snapshot.upto_seq)
            .collect::<Vec<_>>();
        (
            changes.iter().map(|change| change.seq).collect::<Vec<_>>(),
            upto,
        )
    };
    assert_eq!(
        kept(&bench),
        (vec![1, 2, 3, 4, 5], vec![5]),
        "the first snapshot lets nothing go"
    );
    write(&mut bench, 5);
    assert_eq!(kept(&bench), (vec![6, 7, 8, 9, 10], vec![10, 5]));
    write(&mut bench, 7);
    assert_eq!(
        kept(&bench),
        ((11..=17).collect(), vec![15, 10]),
        "two generations"
    );

    let before = bench
        .hall
        .room(&bench.store, rowan.garden)
        .unwrap()
        .heads(SEASON);
    bench.restart();
    assert_eq!(
        bench
            .hall
            .room(&bench.store, rowan.garden)
            .unwrap()
            .heads(SEASON),
        before
    );
    assert_eq!(bench.tasks_on_disk(rowan.garden).len(), 16);
}

#[test]
fn a_snapshot_that_does_not_load_is_passed_over() {
    let limits = Limits {
        changes_between_snapshots: 5,
        ..Limits::default()
    };
    let mut bench = Bench::with_limits(limits);
    let rowan = bench.garden("Upper Meadow");
    let session = bench.greeted(rowan);
    for number in 0..9 {
        let envelope = bench.task(rowan.garden, &format!("task {number}"));
        bench.say(session, &edits([&envelope]));
    }
    let mut newest = bench
        .store
        .snapshots(rowan.garden, SEASON)
        .unwrap()
        .remove(0);
    newest.bytes.truncate(40);
    bench.store.commit(&[Write::PutSnapshot(newest)]).unwrap();
    assert_eq!(
        bench.tasks_on_disk(rowan.garden).len(),
        9,
        "the older one and the changes after it hold everything"
    );
}

#[test]
fn the_longest_unused_garden_is_closed_first() {
    let limits = Limits {
        open_garden_bytes: 0,
        ..Limits::default()
    };
    let mut bench = Bench::with_limits(limits);
    let (upper, lower) = (bench.garden("Upper Meadow"), bench.garden("Lower Meadow"));
    let session = bench.greeted(upper);
    bench.hall.picture(&bench.store, lower.garden).unwrap();
    bench.turn(Vec::new());
    assert_eq!(bench.hall.open_gardens(), 1, "somebody is in the upper one");
    let envelope = bench.task(upper.garden, "still works");
    assert_eq!(answers(&bench.say(session, &edits([&envelope]))).len(), 1);
    bench.turn(vec![Arrival::Closed(session)]);
    assert_eq!(bench.hall.open_gardens(), 0);
}

#[test]
fn again_brings_the_whole_document() {
    let mut bench = Bench::new();
    let rowan = bench.garden("Upper Meadow");
    let session = bench.greeted(rowan);
    let frames = bench.say(session, &ClientFrame::Again { document: SEASON });
    let [
        ServerFrame::Snapshot {
            sequence,
            bytes,
            heads,
            ..
        },
    ] = &frames[..]
    else {
        panic!("{frames:?}")
    };
    let mut copy = Replica::empty(rowan.garden, [1; 16]);
    copy.load(SEASON, &bytes.0).unwrap();
    assert_eq!((*sequence, &copy.heads(SEASON)), (1, heads));
}

#[test]
fn a_panic_in_document_work_becomes_an_error() {
    let outcome = guarded::<()>(|| panic!("the library did not expect this"));
    assert!(
        matches!(outcome, Err(RoomError::Panicked(text)) if text == "the library did not expect this")
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn no_text_is_lost_without_a_word(texts in prop::collection::vec(".{0,200}", 1..6)) {
        let mut bench = Bench::new();
        let rowan = bench.garden("Upper Meadow");
        let session = bench.greeted(rowan);
        let frames = bench.say(session, &ClientFrame::Edits { edits: texts.clone() });
        prop_assert_eq!(frames.len(), texts.len(), "each gets its sentence");
        let session = bench.open(rowan);
        let arrivals = texts.iter().map(|text| Arrival::Frame(session, text.clone())).collect();
        let effects = bench.turn(arrivals);
        prop_assert_eq!(closed(&effects, session), Some(CLOSE_WRONG));
    }
}
