//! What every store must do, run for each of them.

use selion_core::document::DocumentName;
use selion_core::document::ids::{EditId, GardenId, MemberId, PictureId};
use selion_core::quantities::Moment;

use super::memory::{Fate, MemoryStore};
use super::rows::{
    Change, Device, Edit, Feed, Garden, Invite, InviteKind, Membership, Person, Picture,
    PictureKind, SignIn, Snapshot, Write,
};
use super::sqlite::SqliteStore;
use super::{Store, StoreError};
use crate::chance;
use crate::ids::{DeviceId, InviteId, PersonId};
use crate::secret::{PassphraseHash, Secret};

/// Runs a check on each kind of store.
fn for_each_store(check: fn(&mut dyn Store)) {
    check(&mut MemoryStore::new());
    let folder = tempfile::tempdir().unwrap();
    check(&mut SqliteStore::open(folder.path()).unwrap());
}

fn at(seconds: i64) -> Moment {
    Moment::from_millis(1_800_000_000_000 + seconds * 1_000)
}

fn person(name: &str) -> Person {
    Person {
        id: PersonId::fresh(at(0)),
        name: name.to_owned(),
        sign_in: None,
        made_at: at(0),
    }
}

fn device(person: &Person, name: &str, garden: Option<GardenId>) -> Device {
    Device {
        id: DeviceId::fresh(at(1)),
        person: person.id,
        name: name.to_owned(),
        token: Secret::for_device().hash(),
        garden,
        made_at: at(1),
        last_seen: at(1),
        revoked_at: None,
    }
}

fn garden() -> Garden {
    Garden {
        id: GardenId::fresh(at(0), chance::bytes()),
        made_at: at(0),
    }
}

fn member() -> MemberId {
    MemberId::fresh(at(0), chance::bytes())
}

fn invite(kind: InviteKind) -> Invite {
    Invite {
        id: InviteId::fresh(at(0)),
        secret: Secret::for_invite().hash(),
        kind,
        made_by: None,
        made_at: at(0),
        expires_at: at(100),
        used_at: None,
        revoked_at: None,
    }
}

fn edit(garden: &Garden, change: Option<(DocumentName, u64)>) -> Edit {
    Edit {
        garden: garden.id,
        id: EditId::fresh(at(2), chance::bytes()),
        member: member(),
        device: None,
        body: r#"{"edit":"anything"}"#.to_owned(),
        verdict: r#""accepted""#.to_owned(),
        change,
        received_at: at(2),
    }
}

fn change(garden: &Garden, document: DocumentName, seq: u64) -> Change {
    Change {
        garden: garden.id,
        document,
        seq,
        bytes: vec![0, 255, 7],
    }
}

fn snapshot(garden: &Garden, document: DocumentName, upto_seq: u64, verified: bool) -> Snapshot {
    Snapshot {
        garden: garden.id,
        document,
        upto_seq,
        heads: vec!["aa".to_owned(), "bb".to_owned()],
        bytes: vec![1; 1000],
        made_at: at(3),
        verified_at: verified.then(|| at(4)),
    }
}

fn assert_clash(outcome: &Result<(), StoreError>) {
    assert!(matches!(outcome, Err(StoreError::Clash(_))), "{outcome:?}");
}

#[test]
fn people_and_their_devices_read_back() {
    for_each_store(|store| {
        let (ann, plot) = (person("Ann"), garden());
        let (phone, tablet) = (
            device(&ann, "phone", None),
            device(&ann, "tablet", Some(plot.id)),
        );
        store
            .commit(&[
                Write::AddGarden(plot),
                Write::AddPerson(ann.clone()),
                Write::AddDevice(phone.clone()),
                Write::AddDevice(tablet.clone()),
            ])
            .unwrap();
        assert_eq!(store.person(ann.id).unwrap(), Some(ann.clone()));
        assert_eq!(store.device(tablet.id).unwrap(), Some(tablet.clone()));
        assert_eq!(
            store.device_by_token(&phone.token).unwrap(),
            Some(phone.clone())
        );
        assert_eq!(store.devices_of(ann.id).unwrap().len(), 2);

        store
            .commit(&[
                Write::SeeDevice(phone.id, at(9)),
                Write::RevokeDevice(phone.id, at(10)),
            ])
            .unwrap();
        store
            .commit(&[Write::RevokeDevice(phone.id, at(20))])
            .unwrap();
        let phone = store.device(phone.id).unwrap().unwrap();
        assert_eq!(
            (phone.last_seen, phone.revoked_at),
            (at(9), Some(at(10))),
            "the first revocation's time stays"
        );

        store
            .commit(&[
                Write::BarDevice(phone.id, plot.id, at(11)),
                Write::BarDevice(phone.id, plot.id, at(12)),
            ])
            .unwrap();
        assert!(store.is_barred(phone.id, plot.id).unwrap());
        store
            .commit(&[Write::UnbarDevice(phone.id, plot.id)])
            .unwrap();
        assert!(!store.is_barred(phone.id, plot.id).unwrap());
        assert_clash(&store.commit(&[Write::BarDevice(phone.id, garden().id, at(12))]));
        assert_clash(&store.commit(&[Write::AddDevice(tablet)]));
        assert_clash(&store.commit(&[Write::SeeDevice(DeviceId::fresh(at(0)), at(1))]));
    });
}

#[test]
fn pictures_are_kept_byte_by_byte_and_go_when_they_are_dropped() {
    for_each_store(|store| {
        let (ann, plot) = (person("Ann"), garden());
        let picture = Picture {
            garden: plot.id,
            id: PictureId::fresh(at(3), [7; 10]),
            kind: PictureKind::Webp,
            bytes: (0..=255).cycle().take(70_000).collect(),
            made_by: ann.id,
            made_at: at(3),
        };
        let before = [Write::AddPerson(ann.clone()), Write::AddGarden(plot)];
        store.commit(&before).unwrap();
        store.commit(&[Write::AddPicture(picture.clone())]).unwrap();
        assert_eq!(
            store.picture(plot.id, picture.id).unwrap(),
            Some(picture.clone())
        );
        assert_eq!(store.pictures_of(plot.id).unwrap(), [picture.id]);
        assert_eq!(
            store.picture(garden().id, picture.id).unwrap(),
            None,
            "of no other garden"
        );
        assert_clash(&store.commit(&[Write::AddPicture(picture.clone())]));
        let nowhere = Picture {
            garden: garden().id,
            ..picture.clone()
        };
        assert_clash(&store.commit(&[Write::AddPicture(nowhere)]));
        store
            .commit(&[Write::DropPicture(plot.id, picture.id)])
            .unwrap();
        assert!(store.pictures_of(plot.id).unwrap().is_empty());
    });
}

#[test]
fn calendar_links_are_found_by_their_hash_and_taken_back_once() {
    for_each_store(|store| {
        let ann = person("Ann");
        let feed = |number: i64| Feed {
            secret: Secret::for_device().hash(),
            person: ann.id,
            garden: None,
            made_at: at(number),
            revoked_at: None,
        };
        let (first, second) = (feed(1), feed(2));
        store
            .commit(&[Write::AddPerson(ann.clone()), Write::AddFeed(first)])
            .unwrap();
        assert_eq!(store.feed_of(ann.id).unwrap(), Some(first));
        store
            .commit(&[Write::RevokeFeeds(ann.id, at(5)), Write::AddFeed(second)])
            .unwrap();
        store.commit(&[Write::RevokeFeeds(ann.id, at(9))]).unwrap();
        assert_eq!(store.feed_of(ann.id).unwrap(), None);
        let found = store.feed_by_secret(&first.secret).unwrap().unwrap();
        assert_eq!(found.revoked_at, Some(at(5)), "the first time stays");
        assert_clash(&store.commit(&[Write::AddFeed(first)]));
        let nobody = Feed {
            person: person("Bo").id,
            ..feed(3)
        };
        assert_clash(&store.commit(&[Write::AddFeed(nobody)]));
    });
}

#[test]
fn a_sign_in_name_belongs_to_one_person_whatever_its_capitals() {
    for_each_store(|store| {
        let sign_in = |name: &str| SignIn {
            name: name.to_owned(),
            passphrase: PassphraseHash::from_phc("x".to_owned()),
        };
        let (ann, bo) = (person("Ann"), person("Bo"));
        store
            .commit(&[Write::AddPerson(ann.clone()), Write::AddPerson(bo.clone())])
            .unwrap();
        store
            .commit(&[Write::SetSignIn(ann.id, sign_in("Ann of the Beans"))])
            .unwrap();
        assert_eq!(
            store
                .person_by_sign_in("ann OF the beans")
                .unwrap()
                .map(|person| person.id),
            Some(ann.id)
        );
        assert_eq!(store.person_by_sign_in("ann").unwrap(), None);
        assert_clash(&store.commit(&[Write::SetSignIn(bo.id, sign_in("ANN of the beans"))]));
        store
            .commit(&[Write::SetSignIn(ann.id, sign_in("Ann"))])
            .unwrap();
        store
            .commit(&[Write::SetSignIn(bo.id, sign_in("ann of the beans"))])
            .unwrap();
    });
}

#[test]
fn a_member_is_one_person_and_a_person_one_member() {
    for_each_store(|store| {
        let (ann, bo, plot) = (person("Ann"), person("Bo"), garden());
        let row = Membership {
            person: ann.id,
            garden: plot.id,
            member: member(),
            made_at: at(1),
        };
        let writes = [
            Write::AddPerson(ann.clone()),
            Write::AddPerson(bo.clone()),
            Write::AddGarden(plot),
            Write::AddMembership(row),
        ];
        store.commit(&writes).unwrap();
        assert_eq!(store.membership(ann.id, plot.id).unwrap(), Some(row));
        assert_eq!(store.membership(bo.id, plot.id).unwrap(), None);
        assert_eq!(
            store.person_of_member(plot.id, row.member).unwrap(),
            Some(ann.id)
        );
        assert_eq!(store.enrolled(plot.id).unwrap(), [row]);
        assert_eq!(store.memberships_of(ann.id).unwrap(), [row]);
        assert_eq!(store.gardens().unwrap(), [plot]);
        assert_clash(&store.commit(&[Write::AddMembership(Membership {
            member: member(),
            ..row
        })]));
        assert_clash(&store.commit(&[Write::AddMembership(Membership {
            person: bo.id,
            ..row
        })]));
    });
}

#[test]
fn an_invite_is_used_once() {
    for_each_store(|store| {
        let (ann, plot) = (person("Ann"), garden());
        let to_garden = invite(InviteKind::Garden {
            garden: plot.id,
            member: member(),
        });
        let others = [
            invite(InviteKind::NewGarden),
            invite(InviteKind::Device {
                person: ann.id,
                garden: Some(plot.id),
            }),
            invite(InviteKind::Device {
                person: ann.id,
                garden: None,
            }),
        ];
        let mut writes = vec![
            Write::AddPerson(ann),
            Write::AddGarden(plot),
            Write::AddInvite(to_garden.clone()),
        ];
        writes.extend(others.iter().cloned().map(Write::AddInvite));
        store.commit(&writes).unwrap();
        for other in &others {
            assert_eq!(store.invite(other.id).unwrap().as_ref(), Some(other));
        }
        assert_eq!(
            store.invites_of(plot.id).unwrap(),
            std::slice::from_ref(&to_garden)
        );

        store
            .commit(&[Write::UseInvite(to_garden.id, at(5))])
            .unwrap();
        assert_clash(&store.commit(&[Write::UseInvite(to_garden.id, at(6))]));
        store
            .commit(&[Write::RevokeInvite(to_garden.id, at(7))])
            .unwrap();
        let used = store.invite_by_secret(&to_garden.secret).unwrap().unwrap();
        assert_eq!((used.used_at, used.revoked_at), (Some(at(5)), Some(at(7))));
    });
}

#[test]
fn edits_are_kept_once_and_in_order() {
    for_each_store(|store| {
        let plot = garden();
        let edits = [
            edit(&plot, Some((DocumentName::Ground, 1))),
            edit(&plot, None),
            edit(&plot, None),
        ];
        store.commit(&[Write::AddGarden(plot)]).unwrap();
        store.commit(&edits.clone().map(Write::AddEdit)).unwrap();
        assert_eq!(
            store.edit(plot.id, edits[0].id).unwrap().as_ref(),
            Some(&edits[0])
        );
        assert_eq!(store.edits(plot.id, None, 2).unwrap(), edits[..2]);
        assert_eq!(
            store.edits(plot.id, Some(edits[1].id), 9).unwrap(),
            edits[2..]
        );
        assert_clash(&store.commit(&[Write::AddEdit(edits[0].clone())]));
        assert_clash(&store.commit(&[Write::AddEdit(edit(&garden(), None))]));
    });
}

#[test]
fn changes_and_snapshots_read_back_and_old_ones_go() {
    for_each_store(|store| {
        let (plot, season) = (garden(), DocumentName::Season(2027));
        let mut writes = vec![
            Write::AddGarden(plot),
            Write::AddChange(change(&plot, DocumentName::Ground, 1)),
        ];
        writes.extend((1..=6).map(|seq| Write::AddChange(change(&plot, season, seq))));
        writes.extend([2, 4, 6].map(|seq| Write::PutSnapshot(snapshot(&plot, season, seq, false))));
        store.commit(&writes).unwrap();
        store
            .commit(&[Write::PutSnapshot(snapshot(&plot, season, 6, true))])
            .unwrap();

        assert_eq!(
            store.documents(plot.id).unwrap(),
            [DocumentName::Ground, season]
        );
        assert_eq!(
            store.changes(plot.id, season, 4, 9).unwrap(),
            [change(&plot, season, 5), change(&plot, season, 6)]
        );
        assert_eq!(store.changes(plot.id, season, 0, 2).unwrap().len(), 2);
        assert_eq!(
            store.snapshots(plot.id, season).unwrap()[0],
            snapshot(&plot, season, 6, true)
        );
        assert_clash(&store.commit(&[Write::AddChange(change(&plot, season, 3))]));

        store
            .commit(&[Write::DropBefore {
                garden: plot.id,
                document: season,
                upto_seq: 4,
            }])
            .unwrap();
        let left: Vec<u64> = store
            .changes(plot.id, season, 0, 99)
            .unwrap()
            .iter()
            .map(|change| change.seq)
            .collect();
        let snapshots: Vec<u64> = store
            .snapshots(plot.id, season)
            .unwrap()
            .iter()
            .map(|row| row.upto_seq)
            .collect();
        assert_eq!((left, snapshots), (vec![5, 6], vec![6, 4]));
        assert_eq!(
            store
                .changes(plot.id, DocumentName::Ground, 0, 9)
                .unwrap()
                .len(),
            1,
            "other documents are left alone"
        );
    });
}

#[test]
fn a_commit_is_written_whole_or_not_at_all() {
    for_each_store(|store| {
        let (ann, plot) = (person("Ann"), garden());
        let twice = edit(&plot, None);
        assert_clash(&store.commit(&[
            Write::AddPerson(ann.clone()),
            Write::AddGarden(plot),
            Write::AddEdit(twice.clone()),
            Write::AddEdit(twice),
        ]));
        assert_eq!(store.person(ann.id).unwrap(), None);
        assert_eq!(store.gardens().unwrap(), []);
    });
}

#[test]
fn the_services_own_values_are_replaced() {
    for_each_store(|store| {
        assert_eq!(store.value("epoch").unwrap(), None);
        store.commit(&[Write::SetValue("epoch", vec![1])]).unwrap();
        store
            .commit(&[Write::SetValue("epoch", vec![2, 3])])
            .unwrap();
        assert_eq!(store.value("epoch").unwrap(), Some(vec![2, 3]));
    });
}

#[test]
fn what_is_on_the_disk_is_there_for_the_next_owner_and_for_readers() {
    use super::Read as _;
    let folder = tempfile::tempdir().unwrap();
    let ann = person("Ann");
    let mut store = SqliteStore::open(folder.path()).unwrap();
    store.commit(&[Write::AddPerson(ann.clone())]).unwrap();
    let mut reader = SqliteStore::open_reader(folder.path()).unwrap();
    assert_eq!(reader.person(ann.id).unwrap().as_ref(), Some(&ann));
    assert!(
        reader.commit(&[Write::AddPerson(person("Bo"))]).is_err(),
        "a reader cannot write"
    );
    drop(store);
    assert_eq!(
        SqliteStore::open(folder.path())
            .unwrap()
            .person(ann.id)
            .unwrap(),
        Some(ann)
    );
}

#[test]
fn a_store_of_a_newer_program_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    drop(SqliteStore::open(folder.path()).unwrap());
    let raw = rusqlite::Connection::open(super::sqlite::file_in(folder.path())).unwrap();
    raw.pragma_update(None, "user_version", 99).unwrap();
    assert!(matches!(
        SqliteStore::open(folder.path()),
        Err(StoreError::Newer {
            found: 99,
            known: 3
        })
    ));
}

#[test]
fn chosen_commits_of_the_memory_store_fail() {
    use super::Read as _;
    let mut store = MemoryStore::new();
    store.fail_commits(|number| match number {
        2 => Fate::Failed,
        3 => Fate::WrittenButReportedFailed,
        _ => Fate::Written,
    });
    let people = ["Ann", "Bo", "Cy"].map(person);
    let outcomes: Vec<bool> = people
        .iter()
        .map(|person| store.commit(&[Write::AddPerson(person.clone())]).is_ok())
        .collect();
    assert_eq!(outcomes, [true, false, false]);
    let restarted = store.after_restart();
    let there: Vec<bool> = people
        .iter()
        .map(|person| restarted.person(person.id).unwrap().is_some())
        .collect();
    assert_eq!(there, [true, false, true]);
}
