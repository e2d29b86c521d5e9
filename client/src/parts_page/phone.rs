//! What this browser gives, tried out one by one, with what came of it.

use leptos::prelude::*;
use leptos::task::spawn_local;
use selion_core::quantities::Moment;

use crate::browser::vault::{self, Durability, Store, Value, Write};
use crate::browser::{Trouble, chance, clock, http, locks, mirror, page, timer, worker};
use crate::parts::{TagKind, act, heading, line, lines, tag};
use crate::piece::{Piece, pieces, signal_of};

type Outcome = (&'static str, Result<String, Trouble>);

/// A button that tries everything, and a line for each.
pub fn phone() -> Piece {
    let outcomes = signal_of(Vec::<Outcome>::new());
    let try_all = move || {
        outcomes.set(Vec::new());
        spawn_local(async move {
            for outcome in at_once() {
                outcomes.update(|list| list.push(outcome));
            }
            outcomes.update(|list| list.push(("Vault", Ok("…".into()))));
            let vault = vault_keeps().await;
            outcomes.update(|list| {
                list.pop();
                list.push(("Vault", vault));
            });
            let late = [
                ("Refusal", refusal_is_read().await),
                ("Lock", lock_is_held().await),
                ("Worker", worker_registers().await),
            ];
            outcomes.update(|list| list.extend(late));
        });
    };
    let tried = move || {
        outcomes
            .get()
            .into_iter()
            .map(outcome_line)
            .collect::<Piece>()
    };
    pieces![
        heading("This phone"),
        act("Try what this browser gives", try_all).wide(),
        lines().child(tried)
    ]
}

fn outcome_line((what, outcome): Outcome) -> Piece {
    let (words, word, kind) = match outcome {
        Ok(words) => (words, "good", TagKind::Done),
        Err(trouble) => (trouble.to_string(), "fails", TagKind::Stop),
    };
    line(what).small(words).child(tag(word, kind)).into()
}

fn at_once() -> Vec<Outcome> {
    // 2026-01-01 10:30 in UTC: already the next day at the date line.
    let moment = Moment::from_millis(1_767_263_400_000);
    let kiritimati = clock::day_of(moment, "Pacific/Kiritimati").map(|day| day.to_string());
    let vienna = clock::time_of_day(moment, "Europe/Vienna");
    let nowhere = match clock::today("Nowhere/Atall") {
        Ok(day) => Err(Trouble::Browser(format!("an unknown zone gave {day}"))),
        Err(trouble) => Ok(trouble.to_string()),
    };
    let chance = chance::bytes::<8>().map(|bytes| format!("{bytes:?}"));
    let mirrored = mirror::put("try/1", "a row")
        .and_then(|()| mirror::all("try/"))
        .and_then(|rows| mirror::remove("try/1").map(|()| format!("{rows:?}")));
    vec![
        (
            "Zone",
            clock::own_zone().ok_or(Trouble::Missing("a time zone")),
        ),
        ("Day in Kiritimati", kiritimati),
        ("Time in Vienna", vienna),
        ("Unknown zone", nowhere),
        ("Chance", chance),
        ("Mirror", mirrored),
    ]
}

async fn vault_keeps() -> Result<String, Trouble> {
    let vault = vault::open();
    let bytes = vec![0, 159, 146, 150];
    let writes = [
        Write::DeletePrefix(Store::Meta, "try/".into()),
        Write::text(Store::Meta, "try/1", "erstens"),
        Write::bytes(Store::Meta, "try/2", bytes.clone()),
        Write::text(Store::Outbox, "try/3", "elsewhere"),
        Write::Delete(Store::Outbox, "try/3".into()),
    ];
    vault.commit(&writes, Durability::Strict).await?;
    let rows = vault.read_prefix(Store::Meta, "try/").await?;
    let expected = vec![
        ("try/1".to_owned(), Value::Text("erstens".into())),
        ("try/2".to_owned(), Value::Bytes(bytes)),
    ];
    let gone = vault.read(Store::Outbox, "try/3").await?;
    let clear = [Write::DeletePrefix(Store::Meta, "try/".into())];
    vault.commit(&clear, Durability::Relaxed).await?;
    let left = vault.read_prefix(Store::Meta, "try/").await?;
    if rows == expected && gone.is_none() && left.is_empty() {
        Ok("rows came back as they were written".into())
    } else {
        Err(Trouble::Storage(format!(
            "{rows:?}, then {gone:?}, then {left:?}"
        )))
    }
}

async fn refusal_is_read() -> Result<String, Trouble> {
    match http::Call::get("/api/me")
        .within(5)
        .answer::<selion_core::json::Value>()
        .await
    {
        Ok(answer) => Ok(answer.to_string()),
        Err(refused @ Trouble::Refused { .. }) => Ok(format!("{refused:?}")),
        Err(trouble) => Err(trouble),
    }
}

async fn lock_is_held() -> Result<String, Trouble> {
    let name = "selion-try";
    locks::hold(name, || page::note("the lock is ours"))?;
    timer::sleep(100).await;
    if locks::is_held(name).await? {
        Ok("held until this tab closes".into())
    } else {
        Err(Trouble::Missing("a lock that holds"))
    }
}

async fn worker_registers() -> Result<String, Trouble> {
    let worker = worker::register(|| page::note("an update waits")).await?;
    // It would stop listening with this function; here it may listen on.
    std::mem::forget(worker);
    let kept = page::ask_to_keep_data().await?;
    Ok(format!("registered; data kept for good: {kept}"))
}
