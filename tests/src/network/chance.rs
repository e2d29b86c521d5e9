//! All the chance of a simulation, from one number.
//!
//! It is `SplitMix64`, written out in ten lines so that a seed means the same run after any update of a dependency.

/// A source of numbers that look random and are not.
#[derive(Clone, Debug)]
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn of_seed(seed: u64) -> Self {
        Self(seed)
    }

    /// A source of its own for one part of the world, so that a new question there does not change the others' answers.
    pub(crate) fn branch(&mut self) -> Self {
        Self(self.next())
    }

    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number below a bound.
    pub(crate) fn below(&mut self, bound: usize) -> usize {
        let bound = u64::try_from(bound.max(1)).unwrap();
        usize::try_from(self.next() % bound).unwrap()
    }

    /// A number from the first to the last.
    pub(crate) fn between(&mut self, first: i64, last: i64) -> i64 {
        let span = u64::try_from(last - first + 1).unwrap();
        first + i64::try_from(self.next() % span).unwrap()
    }

    /// True in so many of a thousand cases.
    pub(crate) fn in_a_thousand(&mut self, cases: u32) -> bool {
        self.below(1_000) < usize::try_from(cases).unwrap()
    }

    /// One of several.
    pub(crate) fn pick<'a, T>(&mut self, from: &'a [T]) -> Option<&'a T> {
        if from.is_empty() {
            None
        } else {
            from.get(self.below(from.len()))
        }
    }

    /// The random part of an id.
    pub(crate) fn bytes(&mut self) -> [u8; 10] {
        let mut bytes = [0; 10];
        bytes[..8].copy_from_slice(&self.next().to_be_bytes());
        bytes[8..].copy_from_slice(&self.next().to_be_bytes()[..2]);
        bytes
    }
}
