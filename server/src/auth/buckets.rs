//! Token buckets: so many at once, then so many a minute, for each key on its own.
//!
//! Time is handed in, so the same limiter serves requests, sockets and simulations.

use std::collections::HashMap;
use std::hash::Hash;

use selion_core::quantities::Moment;

/// Keys kept before full buckets, which say nothing, are thrown out.
const KEYS_KEPT: usize = 4096;

/// One bucket for each key.
#[derive(Debug)]
pub struct Buckets<K> {
    burst: u64,
    a_minute: u64,
    by_key: HashMap<K, Bucket>,
    tidy_at: usize,
}

/// What is left, in sixty-thousandths of one: at `n` a minute, `n` of these come back each millisecond.
#[derive(Clone, Copy, Debug)]
struct Bucket {
    left: u64,
    at: Moment,
}

/// What one costs, in the bucket's own measure.
const ONE: u64 = 60_000;

impl<K: Eq + Hash> Buckets<K> {
    /// So many at once, then so many a minute; at least one of each.
    pub fn new(burst: u32, a_minute: u32) -> Self {
        Self {
            burst: u64::from(burst.max(1)),
            a_minute: u64::from(a_minute.max(1)),
            by_key: HashMap::new(),
            tidy_at: KEYS_KEPT,
        }
    }

    /// Takes so many, or says after how many milliseconds they could be had. More than a whole burst counts as one burst.
    pub fn take(&mut self, key: K, count: u64, now: Moment) -> Result<(), u64> {
        self.tidy(now);
        let (full, rate) = (self.burst * ONE, self.a_minute);
        let bucket = self.by_key.entry(key).or_insert(Bucket {
            left: full,
            at: now,
        });
        bucket.fill(full, rate, now);
        let cost = count.min(self.burst) * ONE;
        match bucket.left.checked_sub(cost) {
            Some(left) => {
                bucket.left = left;
                Ok(())
            }
            None => Err((cost - bucket.left).div_ceil(rate)),
        }
    }

    /// Throws out what is full again, once there are many keys, so that strangers cannot fill the memory for good.
    fn tidy(&mut self, now: Moment) {
        if self.by_key.len() < self.tidy_at {
            return;
        }
        let (full, rate) = (self.burst * ONE, self.a_minute);
        self.by_key.retain(|_, bucket| {
            bucket.fill(full, rate, now);
            bucket.left < full
        });
        self.tidy_at = (self.by_key.len() * 2).max(KEYS_KEPT);
    }
}

impl Bucket {
    fn fill(&mut self, full: u64, rate: u64, now: Moment) {
        // A clock that was set back gives nothing back.
        let passed = u64::try_from(now.millis() - self.at.millis()).unwrap_or(0);
        self.left = passed
            .saturating_mul(rate)
            .saturating_add(self.left)
            .min(full);
        self.at = now;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(millis: i64) -> Moment {
        Moment::from_millis(1_800_000_000_000 + millis)
    }

    #[test]
    fn a_burst_passes_then_one_at_a_time() {
        let mut buckets = Buckets::new(3, 6);
        for _ in 0..3 {
            assert_eq!(buckets.take("a", 1, at(0)), Ok(()));
        }
        assert_eq!(buckets.take("a", 1, at(0)), Err(10_000));
        assert_eq!(
            buckets.take("b", 1, at(0)),
            Ok(()),
            "each key has its own bucket"
        );
        assert_eq!(buckets.take("a", 1, at(9_999)), Err(1));
        assert_eq!(buckets.take("a", 1, at(10_000)), Ok(()));
        assert_eq!(buckets.take("a", 1, at(10_000)), Err(10_000));
        assert_eq!(buckets.take("a", 3, at(600_000)), Ok(()));
    }

    #[test]
    fn more_than_a_burst_is_possible_when_the_bucket_is_full() {
        let mut buckets = Buckets::new(10, 60);
        assert_eq!(buckets.take((), 200, at(0)), Ok(()));
        assert_eq!(buckets.take((), 1, at(0)), Err(1_000));
    }

    #[test]
    fn a_clock_set_back_gives_nothing_back() {
        let mut buckets = Buckets::new(1, 60);
        assert_eq!(buckets.take((), 1, at(5_000)), Ok(()));
        assert_eq!(buckets.take((), 1, at(0)), Err(1_000));
    }

    #[test]
    fn forgotten_strangers_take_no_memory() {
        let mut buckets = Buckets::new(1, 60);
        for key in 0..KEYS_KEPT {
            buckets.take(key, 1, at(0)).unwrap();
        }
        buckets.take(usize::MAX, 1, at(60_000)).unwrap();
        assert_eq!(buckets.by_key.len(), 1);
    }
}
