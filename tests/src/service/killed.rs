//! The service is killed while edits arrive from everywhere, several times; nothing that it answered is lost, nothing is
//! entered twice.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Command;
use std::time::Duration;

use actix_rt::System;
use actix_rt::time::sleep;
use selion_core::document::edit::Claimable;
use selion_core::document::ids::{ClaimId, EditId, TaskId};
use selion_core::document::records::{Place as _, Role};
use selion_core::document::{DocumentName, Edit, Envelope};
use selion_core::sync::Replica;
use selion_core::sync::frame::{ClientFrame, ServerFrame, Verdict};

use super::{answers, envelope, greeted, newcomer, now, task};
use crate::chance::Chance;
use crate::loopback::{Outcome, Phone, Program, serve};

/// By this name the service's process learns where its data are.
const DATA: &str = "SELION_TEST_SERVES";
const PHONES: u8 = 12;
const DEATHS: u64 = 5;

/// Not a test of its own: started by the one below, in a process of its own, this is the service.
#[test]
fn the_service_in_a_process_of_its_own() {
    if let Ok(data) = std::env::var(DATA) {
        serve(Path::new(&data)).unwrap();
    }
}

fn start(data: &Path) -> Program {
    let mut command = Command::new(std::env::current_exe().unwrap());
    command
        .args([
            "service::killed::the_service_in_a_process_of_its_own",
            "--exact",
            "--nocapture",
        ])
        .env(DATA, data);
    Program::start(command).unwrap()
}

/// What one phone wrote and what it was answered.
struct Writer {
    phone: Phone,
    chance: Chance,
    waiting: Vec<Envelope>,
    answered: BTreeMap<EditId, (Envelope, Verdict)>,
}

#[test]
fn the_service_is_killed_in_mid_storm_and_nothing_answered_is_lost_and_nothing_doubled() {
    let folder = tempfile::tempdir().unwrap();
    let system = System::new();
    let program = start(folder.path());
    let (mut writers, season, wanted) = system.block_on(set_up(&program));
    let mut running = Some(program);
    for death in 0..DEATHS {
        let program = running.take().unwrap_or_else(|| start(folder.path()));
        let at = program.base().to_owned();
        writers = system.block_on(async {
            let storm: Vec<_> = writers
                .into_iter()
                .map(|writer| actix_rt::spawn(writer.writes(at.clone(), season, wanted.clone())))
                .collect();
            sleep(Duration::from_millis(250 + 130 * death)).await;
            program.kill().unwrap();
            let mut back = Vec::new();
            for task in storm {
                back.push(task.await.unwrap());
            }
            back
        });
    }
    let program = start(folder.path());
    system.block_on(check(&program, writers, season));
}

/// A garden with a phone for each writer, and five tasks with one place each that all of them want.
async fn set_up(program: &Program) -> (Vec<Writer>, DocumentName, Vec<TaskId>) {
    let mut chance = Chance::of_seed(7);
    let mut ines = Phone::new(program.base(), 1);
    ines.make_garden(program.secret(), "Sorrel Bank")
        .await
        .unwrap();
    let mut line = ines.line().await.unwrap();
    let season = greeted(&mut line).await;
    let tasks: Vec<Envelope> = (0..5)
        .map(|_| {
            let edit = task(&mut chance, "Mend the gate");
            envelope(&mut chance, &ines, season, edit)
        })
        .collect();
    answers(&mut line, &tasks).await;
    let wanted = tasks
        .iter()
        .filter_map(|envelope| {
            if let Edit::AddTask { task, .. } = &envelope.edit {
                Some(*task)
            } else {
                None
            }
        })
        .collect();
    let mut writers = Vec::new();
    for number in 2..2 + PHONES {
        let phone = Phone::new(program.base(), number);
        let phone = newcomer(
            &mut chance,
            &mut ines,
            phone,
            &format!("Member {number}"),
            Role::Member,
        )
        .await;
        writers.push(Writer {
            phone,
            chance: chance.branch(),
            waiting: Vec::new(),
            answered: BTreeMap::new(),
        });
    }
    (writers, season, wanted)
}

impl Writer {
    /// Writes and sends until the service is gone.
    async fn writes(mut self, base: String, season: DocumentName, wanted: Vec<TaskId>) -> Self {
        self.phone = self.phone.at(&base);
        // The end of the service ends this; whatever it was doing then is sent again next time.
        let _killed = self.storm(season, &wanted).await;
        self
    }

    async fn storm(&mut self, season: DocumentName, wanted: &[TaskId]) -> Outcome<()> {
        let mut line = self.phone.line().await?;
        line.hello().await?;
        loop {
            // What waits from before the last death goes first, just as it was.
            if self.waiting.is_empty() {
                for _ in 0..self.chance.between(1, 6) {
                    let edit = self.edit(wanted);
                    let written = envelope(&mut self.chance, &self.phone, season, edit);
                    self.waiting.push(written);
                }
            }
            for frame in ClientFrame::for_edits(&self.waiting) {
                line.say(&frame).await?;
            }
            while !self.waiting.is_empty() {
                for answer in line.answers().await? {
                    self.take(answer.edit, answer.verdict);
                }
            }
        }
    }

    fn edit(&mut self, wanted: &[TaskId]) -> Edit {
        if self.chance.in_a_thousand(300) {
            let task = *self.chance.pick(wanted).unwrap();
            let claim = ClaimId::fresh(now(), self.chance.bytes());
            Edit::Claim {
                of: Claimable::Task(task),
                claim,
            }
        } else {
            task(&mut self.chance, "Weed the path")
        }
    }

    fn take(&mut self, edit: EditId, verdict: Verdict) {
        let place = self.waiting.iter().position(|envelope| envelope.id == edit);
        let envelope = self.waiting.remove(place.unwrap());
        self.answered.insert(edit, (envelope, verdict));
    }
}

/// Sends everything again, and compares it with the documents.
async fn check(program: &Program, writers: Vec<Writer>, season: DocumentName) {
    let reader = writers[0].phone.at(program.base());
    let mut accepted = BTreeSet::new();
    let (mut answered, mut waited) = (0, 0);
    for mut writer in writers {
        writer.phone = writer.phone.at(program.base());
        let mut line = writer.phone.line().await.unwrap();
        greeted(&mut line).await;
        answered += writer.answered.len();
        let known: Vec<Envelope> = writer
            .answered
            .values()
            .map(|(envelope, _)| envelope.clone())
            .collect();
        for answer in answers(&mut line, &known).await {
            let (_, before) = &writer.answered[&answer.edit];
            assert!(answer.again, "{answer:?} had been answered before");
            assert_eq!(answer.verdict, *before, "and the answer stays");
        }
        waited += writer.waiting.len();
        for answer in answers(&mut line, &writer.waiting).await {
            writer.take(answer.edit, answer.verdict);
        }
        let stands = |(edit, (_, verdict)): (&EditId, &(Envelope, Verdict))| {
            matches!(verdict, Verdict::Accepted { .. }).then_some(*edit)
        };
        accepted.extend(writer.answered.iter().filter_map(stands));
    }
    assert!(
        answered > 100,
        "only {answered} edits were answered before the deaths"
    );
    assert!(waited > 0, "the service never died with edits under way");

    let replica = whole(&reader, season).await;
    let carried = replica.edits(season);
    let carried_once: BTreeSet<EditId> = carried.iter().copied().collect();
    assert_eq!(
        carried.len(),
        carried_once.len(),
        "an edit was entered twice"
    );
    let lost: Vec<&EditId> = accepted.difference(&carried_once).collect();
    assert_eq!(lost, Vec::<&EditId>::new(), "accepted edits are missing");
    for season in replica.garden().seasons.values() {
        for task in season.tasks.values() {
            assert!(task.taken() <= 1, "one place, one holder");
        }
    }
}

/// A document as a phone that has nothing gets it.
async fn whole(phone: &Phone, wanted: DocumentName) -> Replica {
    let mut line = phone.line().await.unwrap();
    line.hello().await.unwrap();
    loop {
        if let Some(ServerFrame::Snapshot {
            document,
            bytes,
            heads,
            ..
        }) = line.hear().await.unwrap()
            && document == wanted
        {
            let mut replica = Replica::empty(phone.garden().unwrap(), [1; 16]);
            replica.load(document, &bytes.0).unwrap();
            assert_eq!(replica.heads(document), heads);
            return replica;
        }
    }
}
