//! One phone, frame by frame: what it shows, tells, keeps and says when frames come in an order that a calm day never brings.

use selion_core::document::edit::{Claimable, NoteOf, TaskField};
use selion_core::document::ids::EditId;
use selion_core::document::records::Role;
use selion_core::document::stored::Heads;
use selion_core::document::{DocumentName, Edit};
use selion_core::policy::Judges;
use selion_core::quantities::{Minutes, Moment};
use selion_core::sync::frame::{Answer, Bytes, PROTOCOL, ServerFrame, Verdict};
use selion_core::sync::vault::{Keep, Store};
use selion_core::sync::{Effect, Event, Link, LocalCopy, Notice, Session, Settings, Stored};

use crate::small_garden::ids::NOW;
use crate::small_garden::{SEASON, SmallGarden, apply_as_drawn, day, every_edit, ids, ines, wren};

/// The service's garden with Wren's phone, which has all of it.
struct Bench {
    garden: SmallGarden,
    copy: LocalCopy,
}

impl Bench {
    fn new() -> Self {
        let mut bench = Self {
            garden: SmallGarden::new(),
            copy: LocalCopy::new(ids::garden(1)),
        };
        bench.hears(&bench.welcome("one"));
        for name in bench.garden.replica.names() {
            bench.hears(&bench.snapshot(name));
        }
        bench
    }

    fn hears(&mut self, frame: &ServerFrame) -> Vec<Keep> {
        self.copy.take(frame, NOW).keep
    }

    fn length(&self, name: DocumentName) -> u64 {
        let changes = self.garden.changes.iter().filter(|(of, _)| *of == name);
        u64::try_from(changes.count()).unwrap()
    }

    fn welcome(&self, epoch: &str) -> ServerFrame {
        let names = self.garden.replica.names().into_iter();
        ServerFrame::Welcome {
            protocol: PROTOCOL,
            epoch: epoch.to_owned(),
            server_time: NOW,
            member: wren(),
            role: Role::Member,
            documents: names.map(|name| (name, self.length(name))).collect(),
        }
    }

    fn snapshot(&self, document: DocumentName) -> ServerFrame {
        ServerFrame::Snapshot {
            document,
            sequence: self.length(document),
            bytes: Bytes(self.garden.replica.save(document).unwrap()),
            heads: self.garden.replica.heads(document),
        }
    }

    /// The changes of the season from a place on.
    fn changes(&self, first: u64) -> ServerFrame {
        let of_season = self.garden.changes.iter().filter(|(of, _)| *of == SEASON);
        let skipped = usize::try_from(first - 1).unwrap();
        ServerFrame::Changes {
            document: SEASON,
            first,
            changes: of_season
                .skip(skipped)
                .map(|(_, bytes)| Bytes(bytes.clone()))
                .collect(),
            heads: self.garden.replica.heads(SEASON),
        }
    }

    /// Wren writes on the phone; the service takes it, and nothing of that has come back yet.
    fn writes(&mut self, number: u8, edit: Edit) -> EditId {
        let id = ids::edit(number);
        self.copy.write(id, SEASON, edit, NOW).unwrap();
        let envelope = self.copy.outbox().get(id).unwrap().envelope.clone();
        let applied = apply_as_drawn(&mut self.garden.replica, &envelope, wren(), NOW).unwrap();
        self.garden.changes.push((SEASON, applied.change.unwrap()));
        id
    }

    fn told(&self) -> Vec<Notice> {
        self.copy
            .told()
            .iter()
            .map(|row| row.notice.clone())
            .collect()
    }
}

fn accepted(edit: EditId, sequence: u64) -> ServerFrame {
    let verdict = Verdict::Accepted {
        document: SEASON,
        sequence: Some(sequence),
        told: None,
    };
    ServerFrame::Answers {
        answers: vec![Answer {
            edit,
            verdict,
            again: false,
        }],
    }
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

#[test]
fn an_edit_that_comes_down_before_its_answer_is_drawn_once() {
    let mut bench = Bench::new();
    let of = NoteOf::Task(ids::task(1));
    let next = bench.length(SEASON) + 1;
    let base = bench.copy.note_base(of, SEASON);
    let id = bench.writes(
        50,
        Edit::WriteNote {
            of,
            text: "Mind the toads".to_owned(),
            base,
        },
    );
    bench.hears(&bench.changes(next));
    let note = |bench: &Bench| {
        bench
            .copy
            .garden()
            .task(ids::task(1))
            .unwrap()
            .1
            .note
            .clone()
    };
    assert_eq!(note(&bench), "Mind the toads");
    assert_eq!(
        bench.copy.truth().waiting,
        1,
        "it still waits for its answer"
    );
    bench.hears(&accepted(id, next));
    assert_eq!(note(&bench), "Mind the toads");
    assert_eq!(bench.copy.truth().waiting, 0);
}

#[test]
fn a_claim_that_somebody_took_back_before_its_author_saw_it_confirmed_is_told() {
    let mut bench = Bench::new();
    let next = bench.length(SEASON) + 1;
    bench.writes(50, claim(30));
    let (of, claim) = (free_task(), ids::claim(30));
    bench
        .garden
        .does(ines(), SEASON, Edit::GiveBack { of, claim });
    bench.hears(&bench.changes(next));
    assert_eq!(bench.told(), [Notice::TakenOff { of, claim }]);

    let mut bench = Bench::new();
    bench.writes(50, self::claim(30));
    let set = vec![TaskField::EndedOn(Some(day("2026-05-05")))];
    bench.garden.does(
        ines(),
        SEASON,
        Edit::ChangeTask {
            task: ids::task(2),
            set,
        },
    );
    bench.hears(&bench.changes(next));
    assert_eq!(bench.told(), [Notice::CalledOff { of }]);
}

#[test]
fn nobody_is_told_that_they_were_put_down_for_the_task_they_put_up_and_claimed_themselves() {
    let mut bench = Bench::new();
    let next = bench.length(SEASON) + 1;
    let task = ids::task(40);
    bench.writes(
        50,
        Edit::AddTask {
            task,
            title: "Net the berries".to_owned(),
            bed: None,
            day: None,
            places: 1,
            minutes: Minutes::ZERO,
            job: None,
            note: String::new(),
        },
    );
    bench.writes(
        51,
        Edit::Claim {
            of: Claimable::Task(task),
            claim: ids::claim(30),
        },
    );
    bench.hears(&bench.changes(next));
    assert_eq!(bench.told(), []);
}

#[test]
fn what_a_whole_document_brings_after_a_mismatch_is_told() {
    let mut bench = Bench::new();
    let next = bench.length(SEASON) + 1;
    bench.writes(50, claim(30));
    bench.hears(&bench.changes(next));
    let (of, claim) = (free_task(), ids::claim(30));
    bench
        .garden
        .does(ines(), SEASON, Edit::GiveBack { of, claim });
    let ServerFrame::Changes {
        document,
        first,
        changes,
        ..
    } = bench.changes(next + 1)
    else {
        panic!("no changes");
    };
    let wrong = ServerFrame::Changes {
        document,
        first,
        changes,
        heads: Heads::default(),
    };
    assert_eq!(bench.copy.take(&wrong, NOW).again, Some(SEASON));
    assert_eq!(bench.told(), [], "not before it is certain");
    bench.hears(&bench.snapshot(SEASON));
    assert_eq!(bench.told(), [Notice::TakenOff { of, claim }]);
}

#[test]
fn a_phone_that_met_a_restored_service_still_shows_the_garden_after_a_restart_without_a_signal() {
    let mut bench = Bench::new();
    let mut keep = bench.hears(&bench.welcome("one"));
    for name in bench.garden.replica.names() {
        keep.extend(bench.hears(&bench.snapshot(name)));
    }
    keep.extend(bench.hears(&bench.welcome("two")));
    let restored = LocalCopy::restore(ids::garden(1), &stored(&keep));
    assert_eq!(restored.garden(), bench.copy.garden());
    assert_eq!(restored.epoch(), Some("two"));
    assert!(restored.cursors().is_empty(), "but asks for the whole");
}

#[test]
fn an_edit_that_a_phone_cannot_judge_yet_waits_unseen_and_is_shown_once_it_can() {
    let mut bench = Bench::new();
    let mut keep = bench.hears(&bench.welcome("one"));
    for name in bench.garden.replica.names() {
        keep.extend(bench.hears(&bench.snapshot(name)));
    }
    let mut written = 0;
    for (document, edit) in every_edit() {
        let id = ids::edit(200 - written);
        if let Ok(kept) = bench.copy.write(id, document, edit, NOW) {
            keep.extend(kept);
            written += 1;
        }
    }
    assert!(written > 10, "of what members may write");
    let mut restored = LocalCopy::restore_with(Judges::FIRST, ids::garden(1), &stored(&keep));
    assert_eq!(restored.truth().waiting, usize::from(written));
    assert!(restored.waits_for_judges());
    assert_ne!(restored.garden(), bench.copy.garden());
    assert!(restored.learn(Judges::ALL));
    assert_eq!(restored.garden(), bench.copy.garden());
    assert!(!restored.waits_for_judges());
    assert!(!restored.learn(Judges::ALL), "nothing new");

    // A claim alone is judged at once.
    let claim = Edit::Claim {
        of: Claimable::Task(ids::task(2)),
        claim: ids::claim(77),
    };
    let mut bench = Bench::new();
    let mut keep = bench.hears(&bench.welcome("one"));
    for name in bench.garden.replica.names() {
        keep.extend(bench.hears(&bench.snapshot(name)));
    }
    keep.extend(bench.copy.write(ids::edit(99), SEASON, claim, NOW).unwrap());
    let restored = LocalCopy::restore_with(Judges::FIRST, ids::garden(1), &stored(&keep));
    assert!(!restored.waits_for_judges());
    assert_eq!(restored.garden(), bench.copy.garden());
}

/// What a storage holds after these writes.
fn stored(keep: &[Keep]) -> Stored {
    let mut stored = Stored::default();
    for one in keep {
        let (store, key, value) = match one {
            Keep::Put(store, key, value) => (*store, key, Some(value)),
            Keep::Delete(store, key) => (*store, key, None),
            // Nothing under these prefixes was ever put here.
            Keep::DeletePrefix(..) => continue,
        };
        let rows = match store {
            Store::Outbox => &mut stored.outbox,
            Store::Documents => &mut stored.documents,
            Store::Changes => &mut stored.changes,
            Store::Meta | Store::View => &mut stored.meta,
        };
        rows.retain(|(other, _)| other != key);
        rows.extend(value.map(|value| (key.clone(), value.clone())));
    }
    stored
}

/// A session of Wren's phone that is in touch over a socket.
fn in_touch(bench: &mut Bench) -> Session {
    let mut session = Session::new(Settings::default());
    for event in [
        Event::Wake,
        Event::Opened,
        Event::Frame(bench.welcome("one").write()),
    ] {
        session.handle(&mut bench.copy, NOW, 0, event);
    }
    assert!(matches!(session.link(), Link::Up(_)));
    session
}

#[test]
fn a_phone_is_in_step_only_when_the_changes_of_its_welcome_have_come() {
    let mut bench = Bench::new();
    let next = bench.length(SEASON) + 1;
    bench.garden.add_task(ines(), 40, "Net the berries", 1);
    let mut session = in_touch(&mut bench);
    let truth = bench.copy.truth();
    assert_eq!((truth.in_step_at, truth.caught_up), (None, false));
    let changes = Event::Frame(bench.changes(next).write());
    session.handle(&mut bench.copy, NOW, 0, changes);
    let truth = bench.copy.truth();
    assert_eq!((truth.in_step_at, truth.caught_up), (Some(NOW), true));
}

#[test]
fn a_service_that_asks_to_begin_again_twice_with_nothing_between_is_left_in_peace_for_a_while() {
    let mut bench = Bench::new();
    let mut session = in_touch(&mut bench);
    let resync = || Event::Frame(ServerFrame::Resync.write());
    let first = session.handle(&mut bench.copy, NOW, 0, resync());
    assert!(
        first.iter().any(|effect| matches!(effect, Effect::Send(_))),
        "hello at once: {first:?}"
    );
    let welcome = Event::Frame(bench.welcome("one").write());
    session.handle(&mut bench.copy, NOW, 0, welcome);
    let second = session.handle(&mut bench.copy, NOW, 0, resync());
    assert!(second.contains(&Effect::Close), "{second:?}");
    assert!(matches!(session.link(), Link::Down(_)));
}

#[test]
fn the_end_of_an_earlier_request_or_socket_does_not_end_the_present_way() {
    let mut bench = Bench::new();
    let mut session = in_touch(&mut bench);
    session.handle(&mut bench.copy, NOW, 0, Event::RequestFailed);
    assert!(matches!(session.link(), Link::Up(_)));
}

#[test]
fn a_clock_set_back_moves_the_next_try_back_with_it() {
    let mut bench = Bench::new();
    let mut session = in_touch(&mut bench);
    session.handle(&mut bench.copy, NOW, 499, Event::Closed);
    let Link::Down(at) = session.link() else {
        panic!("{:?}", session.link())
    };
    assert!(at > NOW);
    let yesterday = Moment::from_millis(NOW.millis() - 86_400_000);
    let effects = session.handle(&mut bench.copy, yesterday, 0, Event::Tick);
    let Some(Effect::WakeAt(next)) = effects.last() else {
        panic!("{effects:?}")
    };
    assert!(next.millis() - yesterday.millis() <= 1_000, "{next:?}");
}
