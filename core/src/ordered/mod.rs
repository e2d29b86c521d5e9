//! Putting things in order, with one piece of machine code for all of them.
//!
//! The library's own sorting, and its maps, are compiled anew for each type, at about 5 KB a type. The lists of a garden
//! are short, so code that phones load sorts by numbers instead, and keeps its maps as lists ([`Map`]).

mod map;

use std::cmp::Ordering;
use std::collections::BTreeSet;

pub use map::{Entry, Iter, IterMut, Map};

/// Sorts by a comparison; equals stay as they stood.
pub fn sort_by<T>(items: &mut [T], compare: impl Fn(&T, &T) -> Ordering) {
    let order = order_of(
        items.len(),
        &|one, other| match (items.get(one), items.get(other)) {
            (Some(one), Some(other)) => compare(one, other),
            _ => Ordering::Equal,
        },
    );
    arrange(&order, &mut |one, other| items.swap(one, other));
}

/// Sorts by a key, which is asked for at each comparison; equals stay as they stood.
pub fn sort_by_key<T, K: Ord>(items: &mut [T], key: impl Fn(&T) -> K) {
    sort_by(items, |one, other| key(one).cmp(&key(other)));
}

/// Sorts; equals stay as they stood.
pub fn sort<T: Ord>(items: &mut [T]) {
    sort_by(items, T::cmp);
}

/// A map of these; of two with the same key the later one stays.
pub fn map<K: Ord, V>(entries: impl IntoIterator<Item = (K, V)>) -> Map<K, V> {
    entries.into_iter().collect()
}

/// A set of these.
pub fn set<T: Ord>(items: impl IntoIterator<Item = T>) -> BTreeSet<T> {
    let mut set = BTreeSet::new();
    for item in items {
        set.insert(item);
    }
    set
}

/// The places of so many things in order.
#[inline(never)]
fn order_of(length: usize, compare: &dyn Fn(usize, usize) -> Ordering) -> Vec<usize> {
    let mut order: Vec<usize> = (0..length).collect();
    order.sort_by(|one, other| compare(*one, *other));
    order
}

/// Swaps things until each stands where the order wants it.
#[inline(never)]
fn arrange(order: &[usize], swap: &mut dyn FnMut(usize, usize)) {
    for place in 0..order.len() {
        // What belongs here may have been swapped on, once for each earlier place that it stood in.
        let mut from = place;
        loop {
            from = order.get(from).copied().unwrap_or(place);
            if from >= place {
                break;
            }
        }
        swap(place, from);
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn sorts_as_the_library_does(mut numbers in prop::collection::vec(0_u8..40, 0..120)) {
            let mut numbered: Vec<(u8, usize)> = numbers.iter().copied().zip(0..).collect();
            let mut expected = numbered.clone();
            expected.sort_by_key(|(number, _)| *number);
            sort_by_key(&mut numbered, |(number, _)| *number);
            prop_assert_eq!(numbered, expected);

            let all = set(numbers.clone());
            sort(&mut numbers);
            numbers.dedup();
            prop_assert_eq!(all.into_iter().collect::<Vec<_>>(), numbers);
        }
    }

    #[test]
    fn of_two_with_one_key_the_later_stays() {
        assert_eq!(
            map([(1, "a"), (2, "b"), (1, "c")]),
            Map::from([(1, "c"), (2, "b")])
        );
    }
}
