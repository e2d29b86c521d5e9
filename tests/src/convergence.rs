//! Any edits, in any order, amid any losses: all copies end equal, nothing written is missing, nobody is bumped in silence.
//!
//! Each seed is one whole world ([`crate::network`]). A seed that fails prints the line that repeats it.

use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};

use crate::chance::Chance;
use crate::network::{Faults, World};
use crate::small_garden::{ash, ines, tomasz, wren};

/// How many seeds an ordinary run tries, all tests of this file together.
const SEEDS: u64 = 300;
/// How many tests share them, so that two threads have something to do.
const PARTS: u64 = 6;

/// Seeds from the environment, for a longer run or to repeat one: the first test takes them all.
fn seeds(part: u64) -> std::ops::Range<u64> {
    let number = |name: &str| {
        std::env::var(name)
            .ok()
            .map(|text| text.parse::<u64>().unwrap())
    };
    match (number("SELION_FIRST_SEED"), number("SELION_SEEDS")) {
        (None, None) => part * SEEDS / PARTS..(part + 1) * SEEDS / PARTS,
        (first, count) => {
            let (first, count) = (first.unwrap_or(0), count.unwrap_or(SEEDS));
            first + part * count / PARTS..first + (part + 1) * count / PARTS
        }
    }
}

#[expect(
    clippy::print_stderr,
    reason = "the line that repeats a failing seed is for whoever runs the tests"
)]
fn run(part: u64) {
    let mut failed = None;
    for seed in seeds(part) {
        if let Err(cause) = catch_unwind(AssertUnwindSafe(|| drop(one_world(seed)))) {
            eprintln!(
                "SELION_FIRST_SEED={seed} SELION_SEEDS=1 cargo test -p selion-tests convergence"
            );
            failed = Some(cause);
        }
    }
    if let Some(cause) = failed {
        resume_unwind(cause);
    }
}

fn one_world(seed: u64) -> World {
    let faults = Faults::of_run(&mut Chance::of_seed(seed));
    // Wren has two phones.
    let mut world = World::new(seed, faults, &[ines(), wren(), tomasz(), ash(), wren()]);
    world.live(10 * 60_000, 45);
    world.settle();
    world.check_all();
    world
}

#[test]
fn the_troubles_of_the_simulation_do_happen() {
    let worlds: Vec<World> = (0..24).map(one_world).collect();
    for trouble in [
        "answered again",
        "death",
        "other tab",
        "pong",
        "reply",
        "restore",
        "resync",
        "revoked",
        "snapshot",
        "withdrawn",
    ] {
        let times: u64 = worlds.iter().map(|world| world.times(trouble)).sum();
        assert!(times > 0, "no {trouble} in any of these runs");
    }
    let wrong: u64 = worlds.iter().map(|world| world.times("wrong")).sum();
    assert_eq!(
        wrong, 0,
        "neither side ever says what the other cannot read"
    );
    let aside = |world: &World| {
        (0..5)
            .map(|phone| world.copy(phone).truth().set_aside)
            .sum::<usize>()
    };
    assert!(
        worlds.iter().map(aside).sum::<usize>() > 5,
        "edits are refused"
    );
    let told = |world: &World| (0..5).map(|phone| world.told(phone).len()).sum::<usize>();
    assert!(
        worlds.iter().map(told).sum::<usize>() > 20,
        "people are told"
    );
}

#[test]
fn whatever_happens_all_copies_end_equal_and_nothing_is_lost_1() {
    run(0);
}

#[test]
fn whatever_happens_all_copies_end_equal_and_nothing_is_lost_2() {
    run(1);
}

#[test]
fn whatever_happens_all_copies_end_equal_and_nothing_is_lost_3() {
    run(2);
}

#[test]
fn whatever_happens_all_copies_end_equal_and_nothing_is_lost_4() {
    run(3);
}

#[test]
fn whatever_happens_all_copies_end_equal_and_nothing_is_lost_5() {
    run(4);
}

#[test]
fn whatever_happens_all_copies_end_equal_and_nothing_is_lost_6() {
    run(5);
}
