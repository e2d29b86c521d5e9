//! All the chance of a simulation or a load, from one number.
//!
//! It is `SplitMix64`, written out in ten lines so that a seed means the same run after any update of a dependency.

/// A source of numbers that look random and are not.
#[derive(Clone, Debug)]
pub struct Chance(u64);

impl Chance {
    /// The source that belongs to a seed.
    pub fn of_seed(seed: u64) -> Self {
        Self(seed)
    }

    /// A source of its own for one part of the world, so that a new question there does not change the others' answers.
    #[must_use]
    pub fn branch(&mut self) -> Self {
        Self(self.number())
    }

    /// Any number.
    pub fn number(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number below a bound, which is at least one.
    pub fn below(&mut self, bound: usize) -> usize {
        let bound = u64::try_from(bound.max(1)).unwrap_or(u64::MAX);
        usize::try_from(self.number() % bound).unwrap_or(0)
    }

    /// A number from the first to the last.
    pub fn between(&mut self, first: i64, last: i64) -> i64 {
        let span = first.abs_diff(last) + 1;
        first + i64::try_from(self.number() % span).unwrap_or(0)
    }

    /// True in so many of a thousand cases.
    pub fn in_a_thousand(&mut self, cases: u32) -> bool {
        self.number() % 1_000 < u64::from(cases)
    }

    /// One of several.
    pub fn pick<'a, T>(&mut self, from: &'a [T]) -> Option<&'a T> {
        if from.is_empty() {
            return None;
        }
        let place = self.below(from.len());
        from.get(place)
    }

    /// The random part of an id.
    pub fn bytes(&mut self) -> [u8; 10] {
        let (first, rest) = (self.number().to_be_bytes(), self.number().to_be_bytes());
        let mut bytes = [0; 10];
        for (byte, from) in bytes.iter_mut().zip(first.into_iter().chain(rest)) {
            *byte = from;
        }
        bytes
    }
}
