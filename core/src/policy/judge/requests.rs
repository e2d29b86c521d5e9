//! Edits that ask the coordinators something and settle it. They move no money, so a year that was carried over takes them.

use super::{Case, Judged, Verdict, already_there, ledger, not_there, write};
use crate::document::Edit;
use crate::document::ids::RequestId;
use crate::document::records::{Answer, Request};
use crate::document::stored::Write;
use crate::policy::{RefusalCode, Refused};

#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "`judge` lists every edit and sends only these here"
)]
pub(super) fn judge(case: &Case<'_>) -> Verdict {
    match &case.envelope.edit {
        Edit::AskCoordinator {
            request,
            about,
            day,
            text,
        } => {
            let record = Request {
                about: *about,
                asked_by: case.author,
                day: *day,
                text: text.clone(),
                answer: None,
            };
            ask(case, *request, record)
        }
        Edit::AnswerRequest { request, on, word } => {
            let answer = Answer {
                by: case.author,
                on: *on,
                word: word.clone(),
            };
            settle(case, *request, answer)
        }
        _other => Err(Refused::new(
            RefusalCode::WrongPlace,
            "This change is no request.",
        )),
    }
}

fn ask(case: &Case<'_>, id: RequestId, record: Request) -> Verdict {
    let ledger = ledger::of(case)?;
    if ledger.requests.contains_key(&id) {
        return Err(already_there("request"));
    }
    let about = record.about;
    if about.is_some_and(|order| !ledger.orders.contains_key(&order)) {
        return Err(not_there("order"));
    }
    write(Write::Request(id, record))
}

/// Two coordinators may answer the same request with no signal: the first answer stands, and the second is told.
fn settle(case: &Case<'_>, id: RequestId, answer: Answer) -> Verdict {
    let ledger = ledger::of(case)?;
    let asked = ledger
        .requests
        .get(&id)
        .ok_or_else(|| not_there("request"))?;
    match &asked.answer {
        Some(earlier) if *earlier == answer => Ok(Judged {
            writes: Vec::new(),
            told: None,
        }),
        Some(earlier) => Err(Refused::new(
            RefusalCode::Closed,
            format!(
                "{} already settled this on {}.",
                case.garden.name_of(earlier.by),
                earlier.on
            ),
        )),
        None => write(Write::Request(
            id,
            Request {
                answer: Some(answer),
                ..Request::clone(asked)
            },
        )),
    }
}
