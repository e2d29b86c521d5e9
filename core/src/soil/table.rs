//! Printed tables of whole numbers: looked up in a row, worked out between two rows, never outside.

/// What stands in a table for a key: the rows are (key, value), keys rising or falling, values in any whole unit.
///
/// Between two rows the value lies on the straight line, to the nearest unit, halves up; outside the rows there is none.
pub(super) fn between_rows(rows: &[(i64, i64)], key: i64) -> Option<Between> {
    if let Some(&(_, value)) = rows.iter().find(|(row, _)| *row == key) {
        return Some(Between { value, rows: None });
    }
    rows.windows(2).find_map(|pair| {
        let [(one, low), (other, high)] = pair else {
            return None;
        };
        let lies_between = (*one.min(other)..=*one.max(other)).contains(&key);
        let (rise, run) = ((high - low) * (key - one), other - one);
        // Halves up, whichever way the keys run.
        let (rise, run) = if run < 0 { (-rise, -run) } else { (rise, run) };
        lies_between.then(|| Between {
            value: low + (2 * rise + run).div_euclid(2 * run),
            rows: Some((*one, *other)),
        })
    })
}

/// A value found in a table, and the two rows that it was worked out between, if it does not stand in one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Between {
    pub(super) value: i64,
    pub(super) rows: Option<(i64, i64)>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn in_a_row_between_two_and_outside() {
        let rows = [(400, 175), (450, 150), (500, 110)];
        let value = |key| between_rows(&rows, key).map(|found| found.value);
        assert_eq!(
            [value(400), value(450), value(500)],
            [Some(175), Some(150), Some(110)]
        );
        assert_eq!(value(425), Some(163), "162.5, halves up");
        assert_eq!(between_rows(&rows, 475).unwrap().rows, Some((450, 500)));
        assert_eq!([value(399), value(501)], [None, None]);
        let falling = [(500, 110), (450, 150), (400, 175)];
        assert_eq!(between_rows(&falling, 425).unwrap().value, 163);
    }
}
