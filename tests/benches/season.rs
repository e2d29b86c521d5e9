//! What the season of a large garden costs: bytes, loading, one edit, saving, and drawing it on a phone.
//!
//! `cargo bench -p selion-tests --bench season`

use std::hint::black_box;
use std::io::Write as _;

use criterion::{BatchSize, Criterion};
use selion_core::document::DocumentName;
use selion_core::document::ids::EditId;
use selion_core::document::records::Role;
use selion_core::quantities::Moment;
use selion_core::sync::frame::{Bytes, ServerFrame};
use selion_core::sync::{LocalCopy, Replica};
use selion_tests::loopback::Outcome;
use selion_tests::whole_season::{SEASON, WholeSeason};

/// How many edits wait on the phone that is measured.
const WAITING: u8 = 5;

fn main() -> Outcome<()> {
    let started = std::time::Instant::now();
    let mut season = WholeSeason::new()?;
    let built = started.elapsed();
    let saved = season.replica.save(SEASON).ok_or("there is no season")?;
    let log = season.log.get(&SEASON).cloned().unwrap_or_default();
    let raw: usize = log.iter().map(Vec::len).sum();
    let mut out = std::io::stdout();
    writeln!(out, "edits                {:>10}", season.edits)?;
    writeln!(out, "changes of season    {:>10}", log.len())?;
    writeln!(out, "saved, bytes         {:>10}", saved.len())?;
    writeln!(out, "raw changes, bytes   {raw:>10}")?;
    writeln!(out, "building it, ms      {:>10}", built.as_millis())?;

    let mut criterion = Criterion::default().sample_size(20).configure_from_args();
    let garden = season.replica.garden_id();
    let loaded = |bytes: &[u8]| {
        let mut replica = Replica::empty(garden, [8; 16]);
        replica.load(SEASON, bytes).map(|()| replica)
    };
    criterion.bench_function("load and read the picture", |bench| {
        bench.iter(|| black_box(loaded(&saved).is_ok()));
    });
    criterion.bench_function("take all changes in one go", |bench| {
        bench.iter(|| {
            let mut replica = Replica::empty(garden, [8; 16]);
            black_box(
                replica
                    .take_changes(SEASON, log.iter().map(Vec::as_slice))
                    .is_ok(),
            )
        });
    });
    criterion.bench_function("save", |bench| {
        bench.iter(|| black_box(season.replica.save(SEASON)));
    });

    let who = *season.people.first().ok_or("nobody is there")?;
    let task = season.next_task();
    let envelope = season.envelope(SEASON, task);
    criterion.bench_function("apply one edit to a copy", |bench| {
        bench.iter_batched(
            || season.replica.clone(),
            |mut replica| black_box(replica.apply(&envelope, who, envelope.written_at).is_ok()),
            BatchSize::LargeInput,
        );
    });
    let copy = phone(&mut season)?;
    // A document that the phone does not have is withdrawn: nothing happens but that everything is drawn anew.
    let nothing = ServerFrame::Withdrawn {
        document: DocumentName::Ledger(1999),
    };
    criterion.bench_function("draw a phone's copy anew, five edits waiting", |bench| {
        bench.iter_batched(
            || copy.clone(),
            |mut copy| black_box(copy.take(&nothing, Moment::from_millis(0)).changed),
            BatchSize::LargeInput,
        );
    });
    criterion.final_summary();
    Ok(())
}

/// A phone that has everything, with a few edits that wait.
fn phone(season: &mut WholeSeason) -> Outcome<LocalCopy> {
    let now = Moment::from_millis(1_800_000_000_000);
    let replica = &season.replica;
    let mut copy = LocalCopy::new(replica.garden_id());
    let member = *season.people.first().ok_or("nobody is there")?;
    let welcome = ServerFrame::Welcome {
        protocol: selion_core::sync::frame::PROTOCOL,
        epoch: "one".to_owned(),
        server_time: now,
        member,
        role: Role::Coordinator,
        documents: replica.names().into_iter().map(|name| (name, 1)).collect(),
    };
    copy.take(&welcome, now);
    for document in replica.names() {
        let bytes = Bytes(replica.save(document).ok_or("a document is missing")?);
        let heads = replica.heads(document);
        copy.take(
            &ServerFrame::Snapshot {
                document,
                sequence: 1,
                bytes,
                heads,
            },
            now,
        );
    }
    for number in 0..WAITING {
        let task = season.next_task();
        copy.write(EditId::fresh(now, [number; 10]), SEASON, task, now)?;
    }
    Ok(copy)
}
