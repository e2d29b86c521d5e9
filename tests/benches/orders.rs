//! What the largest order costs: previewing it while somebody types, explaining one account, closing it.
//!
//! `cargo bench -p selion-tests --bench orders`

use std::hint::black_box;
use std::io::Write as _;

use criterion::{BatchSize, Criterion};
use selion_core::document::records::Payer;
use selion_tests::large_order::LargeOrder;
use selion_tests::loopback::Outcome;

fn main() -> Outcome<()> {
    let mut large = LargeOrder::new()?;
    let closing = large.closing()?;
    let standing = large.preview()?;
    let bytes = large.clone().close(&closing)?;
    let mut out = std::io::stdout();
    writeln!(
        out,
        "accounts             {:>10}",
        standing.shares().accounts.len()
    )?;
    writeln!(
        out,
        "lines                {:>10}",
        standing.shares().lines.len()
    )?;
    writeln!(out, "closing edit, bytes  {:>10}", closing.write().len())?;
    writeln!(out, "its change, bytes    {bytes:>10}")?;

    let mut criterion = Criterion::default().sample_size(20).configure_from_args();
    criterion.bench_function("preview an order of 20 lines over 500 members", |bench| {
        bench.iter(|| black_box(large.preview().is_ok()));
    });
    let account = standing
        .shares()
        .accounts
        .first()
        .map(|share| Payer::from(share.account));
    let account = account.ok_or("nobody shares it")?;
    criterion.bench_function("explain one account of it", |bench| {
        bench.iter(|| black_box(standing.working(account)));
    });
    criterion.bench_function("close it", |bench| {
        bench.iter_batched(
            || large.clone(),
            |mut large| black_box(large.close(&closing).is_ok()),
            BatchSize::LargeInput,
        );
    });
    criterion.final_summary();
    Ok(())
}
