//! The real service on this machine, asked as phones ask it: coming in, leaving, a restored backup, and death in mid-storm.

mod accounts;
mod backup;
mod killed;

use std::sync::Arc;

use selion_core::document::ids::MemberId;
use selion_core::document::records::Role;
use selion_core::document::{DocumentName, Edit, Envelope};
use selion_core::quantities::{Minutes, Moment};
use selion_core::sync::frame::{Answer, ClientFrame, ServerFrame, Verdict};
use selion_server::clock::SystemClock;
use selion_server::{Config, Running};

use crate::chance::Chance;
use crate::loopback::{Line, Phone};
use crate::small_garden::GROUND;

/// A service in this process, on data that go when it goes.
struct Live {
    running: Running,
    _data: tempfile::TempDir,
}

impl Live {
    fn start() -> Self {
        let data = tempfile::tempdir().unwrap();
        let config = Config {
            port: 0,
            client_address_header: Some("X-Forwarded-For".to_owned()),
            ..Config::for_data(data.path().to_owned())
        };
        let running = selion_server::start(config, Arc::new(SystemClock)).unwrap();
        Self {
            running,
            _data: data,
        }
    }

    fn base(&self) -> String {
        format!("http://{}", self.running.addr())
    }

    fn secret(&self) -> String {
        let link = self.running.new_garden_link().unwrap();
        link.split_once('#').unwrap().1.to_owned()
    }
}

/// The present, for ids and envelopes; what it is decides nothing.
fn now() -> Moment {
    use selion_server::clock::Clock as _;
    SystemClock.now()
}

fn envelope(chance: &mut Chance, phone: &Phone, document: DocumentName, edit: Edit) -> Envelope {
    Envelope {
        version: Envelope::VERSION,
        id: selion_core::document::ids::EditId::fresh(now(), chance.bytes()),
        garden: phone.garden().unwrap(),
        document,
        written_at: now(),
        edit,
    }
}

fn task(chance: &mut Chance, title: &str) -> Edit {
    Edit::AddTask {
        task: selion_core::document::ids::TaskId::fresh(now(), chance.bytes()),
        title: title.to_owned(),
        bed: None,
        day: None,
        places: 1,
        minutes: Minutes::new(30),
        job: None,
        note: "Gloves".to_owned(),
    }
}

/// Sends edits and waits for their answers, passing over whatever else comes.
async fn answers(line: &mut Line, edits: &[Envelope]) -> Vec<Answer> {
    let mut heard = Vec::new();
    for frame in ClientFrame::for_edits(edits) {
        line.say(&frame).await.unwrap();
    }
    while heard.len() < edits.len() {
        heard.extend(line.answers().await.unwrap());
    }
    heard
}

/// The season that the service opened with a new garden.
async fn greeted(line: &mut Line) -> DocumentName {
    line.hello().await.unwrap();
    loop {
        if let Some(ServerFrame::Welcome { documents, .. }) = line.hear().await.unwrap() {
            return documents
                .into_keys()
                .find(|name| matches!(name, DocumentName::Season(_)))
                .unwrap();
        }
    }
}

/// Puts somebody on the list of people and enrols a phone for them.
async fn newcomer(
    chance: &mut Chance,
    by: &mut Phone,
    phone: Phone,
    name: &str,
    role: Role,
) -> Phone {
    let member = MemberId::fresh(now(), chance.bytes());
    let add = Edit::AddMember {
        member,
        name: name.to_owned(),
        role,
    };
    let edit = envelope(chance, by, GROUND, add);
    let mut line = by.line().await.unwrap();
    greeted(&mut line).await;
    let answer = answers(&mut line, &[edit]).await.remove(0);
    assert!(
        matches!(answer.verdict, Verdict::Accepted { .. }),
        "{answer:?}"
    );
    let secret = by.invite(member).await.unwrap();
    let mut phone = phone;
    phone.join(&secret).await.unwrap();
    phone
}
