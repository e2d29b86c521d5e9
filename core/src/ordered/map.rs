//! A map in the order of its keys, made for short ones.

use std::borrow::Borrow;
use std::cmp::Ordering;
use std::fmt;
use std::iter;
use std::ops::{Bound, Index, RangeBounds};
use std::slice;
use std::vec;

/// A map in the order of its keys. It keeps what it holds in one list and finds it by halving.
///
/// The library's `BTreeMap` is made for very many entries and compiles to several times as much code for each pair of
/// types, of which records have dozens. Here putting something in before others moves those along; keys that were given
/// out one after the other, as all ids are, come last anyway.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Map<K, V> {
    entries: Vec<(K, V)>,
}

/// The entries of a map, looked at.
pub type Iter<'a, K, V> = iter::Map<slice::Iter<'a, (K, V)>, fn(&'a (K, V)) -> (&'a K, &'a V)>;
/// The entries of a map, their values to be changed.
pub type IterMut<'a, K, V> =
    iter::Map<slice::IterMut<'a, (K, V)>, fn(&'a mut (K, V)) -> (&'a K, &'a mut V)>;

impl<K, V> Map<K, V> {
    /// One with nothing in it.
    pub const fn new() -> Self {
        Self {
            entries: Vec::new(),
        }
    }

    /// How many entries there are.
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// Takes all out.
    pub fn clear(&mut self) {
        self.entries.clear();
    }

    /// All entries in the order of their keys.
    pub fn iter(&self) -> Iter<'_, K, V> {
        self.entries.iter().map(|(key, value)| (key, value))
    }

    /// All entries in the order of their keys, the values to be changed.
    pub fn iter_mut(&mut self) -> IterMut<'_, K, V> {
        self.entries.iter_mut().map(|(key, value)| (&*key, value))
    }

    /// All keys in order.
    pub fn keys(&self) -> impl DoubleEndedIterator<Item = &K> + ExactSizeIterator + Clone {
        self.entries.iter().map(|(key, _)| key)
    }

    /// All values in the order of their keys.
    pub fn values(&self) -> impl DoubleEndedIterator<Item = &V> + ExactSizeIterator + Clone {
        self.entries.iter().map(|(_, value)| value)
    }

    /// All values in the order of their keys, to be changed.
    pub fn values_mut(&mut self) -> impl DoubleEndedIterator<Item = &mut V> + ExactSizeIterator {
        self.entries.iter_mut().map(|(_, value)| value)
    }

    /// All keys in order, taken out.
    pub fn into_keys(self) -> impl DoubleEndedIterator<Item = K> + ExactSizeIterator {
        self.entries.into_iter().map(|(key, _)| key)
    }

    /// All values in the order of their keys, taken out.
    pub fn into_values(self) -> impl DoubleEndedIterator<Item = V> + ExactSizeIterator {
        self.entries.into_iter().map(|(_, value)| value)
    }

    /// The entry with the lowest key.
    pub fn first_key_value(&self) -> Option<(&K, &V)> {
        self.entries.first().map(|(key, value)| (key, value))
    }

    /// The entry with the highest key.
    pub fn last_key_value(&self) -> Option<(&K, &V)> {
        self.entries.last().map(|(key, value)| (key, value))
    }

    /// Keeps only what is wanted.
    pub fn retain(&mut self, mut wanted: impl FnMut(&K, &mut V) -> bool) {
        self.entries.retain_mut(|(key, value)| wanted(key, value));
    }
}

impl<K: Ord, V> Map<K, V> {
    /// Whether there is an entry with this key.
    pub fn contains_key<Q: Ord + ?Sized>(&self, key: &Q) -> bool
    where
        K: Borrow<Q>,
    {
        self.place_of(key).is_ok()
    }

    /// The value with this key.
    pub fn get<Q: Ord + ?Sized>(&self, key: &Q) -> Option<&V>
    where
        K: Borrow<Q>,
    {
        let place = self.place_of(key).ok()?;
        self.entries.get(place).map(|(_, value)| value)
    }

    /// The value with this key, to be changed.
    pub fn get_mut<Q: Ord + ?Sized>(&mut self, key: &Q) -> Option<&mut V>
    where
        K: Borrow<Q>,
    {
        let place = self.place_of(key).ok()?;
        self.entries.get_mut(place).map(|(_, value)| value)
    }

    /// Puts a value in; gives the one that stood there before.
    pub fn insert(&mut self, key: K, value: V) -> Option<V> {
        match self.place_of(&key) {
            Ok(place) => {
                let (_, before) = self.entries.get_mut(place)?;
                Some(std::mem::replace(before, value))
            }
            Err(place) => {
                self.entries.insert(place, (key, value));
                None
            }
        }
    }

    /// Takes a value out.
    pub fn remove<Q: Ord + ?Sized>(&mut self, key: &Q) -> Option<V>
    where
        K: Borrow<Q>,
    {
        let place = self.place_of(key).ok()?;
        Some(self.entries.remove(place).1)
    }

    /// The place of a key, there or not yet.
    pub fn entry(&mut self, key: K) -> Entry<'_, K, V> {
        let place = self.place_of(&key);
        Entry {
            map: self,
            key,
            place,
        }
    }

    /// The entries whose keys are in a range.
    pub fn range(&self, keys: impl RangeBounds<K>) -> Iter<'_, K, V> {
        let from = match keys.start_bound() {
            Bound::Unbounded => 0,
            Bound::Included(key) => self.place_of(key).unwrap_or_else(|place| place),
            Bound::Excluded(key) => self.place_of(key).map_or_else(|place| place, after),
        };
        let to = match keys.end_bound() {
            Bound::Unbounded => self.len(),
            Bound::Included(key) => self.place_of(key).map_or_else(|place| place, after),
            Bound::Excluded(key) => self.place_of(key).unwrap_or_else(|place| place),
        };
        let inside = self.entries.get(from..to).unwrap_or_default();
        inside.iter().map(|(key, value)| (key, value))
    }

    /// Where a key stands, or where it would.
    fn place_of<Q: Ord + ?Sized>(&self, key: &Q) -> Result<usize, usize>
    where
        K: Borrow<Q>,
    {
        find(self.entries.len(), &|place| {
            self.entries
                .get(place)
                .map_or(Ordering::Greater, |(there, _)| there.borrow().cmp(key))
        })
    }
}

/// The place of a key in a map, there or not yet.
#[derive(Debug)]
pub struct Entry<'a, K, V> {
    map: &'a mut Map<K, V>,
    key: K,
    place: Result<usize, usize>,
}

impl<'a, K, V> Entry<'a, K, V> {
    /// The value there, put in first if need be.
    pub fn or_insert_with(self, value: impl FnOnce() -> V) -> &'a mut V {
        let place = match self.place {
            Ok(place) => place,
            Err(place) => {
                self.map.entries.insert(place, (self.key, value()));
                place
            }
        };
        match self.map.entries.get_mut(place) {
            Some((_, value)) => value,
            None => unreachable!("it was found or put in just now"),
        }
    }

    /// The value there, this one if there is none.
    pub fn or_insert(self, value: V) -> &'a mut V {
        self.or_insert_with(|| value)
    }

    /// The value there, the usual one if there is none.
    pub fn or_default(self) -> &'a mut V
    where
        V: Default,
    {
        self.or_insert_with(V::default)
    }

    /// Changes the value if there is one.
    #[must_use]
    pub fn and_modify(self, change: impl FnOnce(&mut V)) -> Self {
        if let Ok(place) = self.place
            && let Some((_, value)) = self.map.entries.get_mut(place)
        {
            change(value);
        }
        self
    }
}

/// Halves until it is found. What is looked for mostly belongs at the end, so that is asked first.
#[inline(never)]
fn find(length: usize, compare: &dyn Fn(usize) -> Ordering) -> Result<usize, usize> {
    let Some(last) = length.checked_sub(1) else {
        return Err(0);
    };
    match compare(last) {
        Ordering::Less => return Err(length),
        Ordering::Equal => return Ok(last),
        Ordering::Greater => {}
    }
    let (mut low, mut high) = (0, last);
    while low < high {
        let middle = low.midpoint(high);
        match compare(middle) {
            Ordering::Less => low = after(middle),
            Ordering::Equal => return Ok(middle),
            Ordering::Greater => high = middle,
        }
    }
    Err(low)
}

const fn after(place: usize) -> usize {
    place.saturating_add(1)
}

impl<K, V> Default for Map<K, V> {
    fn default() -> Self {
        Self::new()
    }
}

impl<K: fmt::Debug, V: fmt::Debug> fmt::Debug for Map<K, V> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.debug_map().entries(self.iter()).finish()
    }
}

impl<K: Ord, V> Extend<(K, V)> for Map<K, V> {
    fn extend<I: IntoIterator<Item = (K, V)>>(&mut self, entries: I) {
        for (key, value) in entries {
            self.insert(key, value);
        }
    }
}

impl<K: Ord, V> FromIterator<(K, V)> for Map<K, V> {
    fn from_iter<I: IntoIterator<Item = (K, V)>>(entries: I) -> Self {
        let mut map = Self::new();
        map.extend(entries);
        map
    }
}

impl<K: Ord, V, const N: usize> From<[(K, V); N]> for Map<K, V> {
    fn from(entries: [(K, V); N]) -> Self {
        entries.into_iter().collect()
    }
}

impl<K, V> IntoIterator for Map<K, V> {
    type Item = (K, V);
    type IntoIter = vec::IntoIter<(K, V)>;

    fn into_iter(self) -> Self::IntoIter {
        self.entries.into_iter()
    }
}

impl<'a, K, V> IntoIterator for &'a Map<K, V> {
    type Item = (&'a K, &'a V);
    type IntoIter = Iter<'a, K, V>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl<'a, K, V> IntoIterator for &'a mut Map<K, V> {
    type Item = (&'a K, &'a mut V);
    type IntoIter = IterMut<'a, K, V>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter_mut()
    }
}

impl<Q: Ord + ?Sized, K: Borrow<Q> + Ord, V> Index<&Q> for Map<K, V> {
    type Output = V;

    #[expect(clippy::panic, reason = "an index says that the key is there")]
    fn index(&self, key: &Q) -> &V {
        match self.get(key) {
            Some(value) => value,
            None => panic!("there is no such key in the map"),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use proptest::prelude::*;

    use super::*;

    /// Something done to a map.
    #[derive(Debug, Clone)]
    enum Act {
        Insert(u8, u16),
        Remove(u8),
        Add(u8),
        RetainAbove(u8),
    }

    fn act() -> impl Strategy<Value = Act> {
        let key = 0_u8..24;
        prop_oneof![
            4 => (key.clone(), any::<u16>()).prop_map(|(key, value)| Act::Insert(key, value)),
            2 => key.clone().prop_map(Act::Remove),
            2 => key.clone().prop_map(Act::Add),
            1 => (0_u8..4).prop_map(Act::RetainAbove),
        ]
    }

    proptest! {
        #[test]
        fn does_as_the_library_s_map(
            acts in prop::collection::vec(act(), 0..60), low in 0_u8..26, high in 0_u8..26,
        ) {
            let mut ours = Map::<u8, u16>::new();
            let mut theirs = BTreeMap::<u8, u16>::new();
            for act in acts {
                match act {
                    Act::Insert(key, value) => {
                        prop_assert_eq!(ours.insert(key, value), theirs.insert(key, value));
                    }
                    Act::Remove(key) => prop_assert_eq!(ours.remove(&key), theirs.remove(&key)),
                    Act::Add(key) => {
                        let sum = |value: &mut u16| *value = value.wrapping_add(3);
                        prop_assert_eq!(
                            ours.entry(key).and_modify(sum).or_default(),
                            theirs.entry(key).and_modify(sum).or_default()
                        );
                    }
                    Act::RetainAbove(lowest) => {
                        ours.retain(|key, _| *key > lowest);
                        theirs.retain(|key, _| *key > lowest);
                    }
                }
            }
            prop_assert!(ours.iter().eq(theirs.iter()));
            prop_assert!(ours.keys().rev().eq(theirs.keys().rev()));
            prop_assert_eq!(ours.get(&low), theirs.get(&low));
            prop_assert_eq!(ours.first_key_value(), theirs.first_key_value());
            prop_assert_eq!(ours.last_key_value(), theirs.last_key_value());
            if low <= high {
                prop_assert!(ours.range(low..=high).eq(theirs.range(low..=high)));
                prop_assert!(ours.range(low..high).eq(theirs.range(low..high)));
                prop_assert!(ours.range(low..).eq(theirs.range(low..)));
            }
        }
    }
}
