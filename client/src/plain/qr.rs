//! A text as a QR code: its squares as one SVG path.

use std::fmt::Write;

use fast_qr::{ECL, QRBuilder};

use super::trouble::Trouble;

/// The quiet border around a code, in squares, as the standard asks (ISO/IEC 18004).
const QUIET: usize = 4;

/// A code to draw in a square view box of `side`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct QrCode {
    /// Squares along one side, quiet border included.
    pub side: usize,
    /// The dark squares, as SVG path data.
    pub path: String,
}

/// Makes a code that is still read when a tenth of it is dirty or folded away.
pub fn encode(text: &str) -> Result<QrCode, Trouble> {
    let code = QRBuilder::new(text)
        .ecl(ECL::M)
        .build()
        .map_err(|_too_long| {
            Trouble::Browser(format!(
                "a text of {} bytes is too long for a QR code",
                text.len()
            ))
        })?;
    let mut path = String::new();
    for (y, row) in code.data.chunks(code.size).take(code.size).enumerate() {
        for (start, length) in dark_runs(row.iter().map(|module| module.value())) {
            write_run(&mut path, start + QUIET, y + QUIET, length);
        }
    }
    Ok(QrCode {
        side: code.size + 2 * QUIET,
        path,
    })
}

fn write_run(path: &mut String, x: usize, y: usize, length: usize) {
    // Writing to a string cannot fail.
    let _ = write!(path, "M{x} {y}h{length}v1h-{length}z");
}

/// Neighbouring dark squares of a row, as (start, length).
fn dark_runs(row: impl Iterator<Item = bool>) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for (x, _) in row.enumerate().filter(|(_, dark)| *dark) {
        match runs.last_mut() {
            Some((start, length)) if *start + *length == x => *length += 1,
            _ => runs.push((x, 1)),
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn neighbours_become_one_run() {
        let row = [true, true, false, true, false, false, true];
        assert_eq!(dark_runs(row.into_iter()), [(0, 2), (3, 1), (6, 1)]);
    }

    #[test]
    fn a_short_text_fits_the_smallest_code_and_starts_with_a_finder() {
        let code = encode("HELLO").unwrap();
        // Version 1 is 21 squares wide; its first row begins with the 7 squares of a finder.
        assert_eq!(code.side, 21 + 8);
        assert!(code.path.starts_with("M4 4h7v1h-7z"), "{}", code.path);
    }

    #[test]
    fn a_text_beyond_any_code_is_refused() {
        assert!(encode(&"x".repeat(4000)).is_err());
    }
}
