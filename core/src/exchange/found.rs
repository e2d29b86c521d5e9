//! What a file holds of the ground, before anybody has taken it over.

use super::LARGEST_FILE;
use crate::document::records::{Gate, StructureFacts};
use crate::geometry::{Line, Outline};
use crate::quantities::BadInput;

/// The longest label or name, in characters; the bounds are those of the records that these become.
const LONGEST_LABEL: usize = 120;
/// The longest note, in characters.
const LONGEST_NOTE: usize = 8_000;
/// The most holders of one bed.
const MOST_HOLDERS: usize = 50;
/// The most parts that one holder has of a bed.
const MOST_PARTS: u32 = 1_000;

/// Everything that a file holds.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FoundGround {
    /// Beds and structures, in the order of the file.
    pub beds: Vec<FoundBed>,
    /// Fence lines, in the order of the file.
    pub fences: Vec<FoundFence>,
}

/// One outline that was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FoundBed {
    /// Its label.
    pub label: String,
    /// Its edge, on the plane of the file.
    pub outline: Outline,
    /// The names of those who hold it, with their parts; nobody for a common bed.
    pub holders: Vec<(String, u32)>,
    /// What somebody wrote about it.
    pub note: Option<String>,
    /// What it is.
    pub kind: FoundKind,
}

/// What an outline stands for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum FoundKind {
    /// Ground to grow on.
    #[default]
    Bed,
    /// A shed, a path, a pond.
    Structure(StructureFacts),
}

/// One fence line that was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FoundFence {
    /// Its label.
    pub label: String,
    /// Where it runs.
    pub line: Line,
    /// Its gates, in the order they were put in.
    pub gates: Vec<Gate>,
    /// What somebody wrote about it.
    pub note: Option<String>,
}

/// A file, unless it is too long to be looked at.
pub(super) fn bounded<'a>(text: &'a str, kind: &str) -> Result<&'a str, BadInput> {
    if text.len() > LARGEST_FILE {
        return Err(BadInput::new(
            "file",
            format!("{kind} of at most 2 MB"),
            format!("{} bytes", text.len()),
        ));
    }
    // Some programs put a byte order mark before everything.
    Ok(text.strip_prefix('\u{feff}').unwrap_or(text))
}

/// A label as it was written, without white space around it.
pub(super) fn label(text: &str) -> Result<String, BadInput> {
    words("label", text, LONGEST_LABEL)
}

/// A note, if there is one.
pub(super) fn note(text: &str) -> Result<Option<String>, BadInput> {
    let note = words("note", text, LONGEST_NOTE)?;
    Ok((!note.is_empty()).then_some(note))
}

/// Names with parts, such as `Ines 2; Tomasz 1`; a name without a number holds one part.
pub(super) fn holders(text: &str) -> Result<Vec<(String, u32)>, BadInput> {
    let each = text
        .split(';')
        .map(str::trim)
        .filter(|holder| !holder.is_empty())
        .map(|holder| {
            let (name, parts) = holder
                .rsplit_once(char::is_whitespace)
                .unwrap_or((holder, ""));
            match parts.parse() {
                Ok(parts) => (name, parts),
                Err(_no_number) => (holder, 1),
            }
        });
    checked_holders(each)
}

/// Holders with each name once and sensible parts.
pub(super) fn checked_holders<'a>(
    each: impl Iterator<Item = (&'a str, u32)>,
) -> Result<Vec<(String, u32)>, BadInput> {
    let mut holders: Vec<(String, u32)> = Vec::new();
    for (name, parts) in each {
        let name = words("holder", name, LONGEST_LABEL)?;
        if name.is_empty() {
            return Err(BadInput::new("holder", "a name", ""));
        }
        if !(1..=MOST_PARTS).contains(&parts) {
            return Err(BadInput::new(
                "holder",
                format!("1 to {MOST_PARTS} parts"),
                format!("{name} {parts}"),
            ));
        }
        if holders.iter().any(|(other, _)| *other == name) {
            return Err(BadInput::new(
                "holder",
                "each name once",
                format!("{name} twice"),
            ));
        }
        holders.push((name, parts));
        if holders.len() > MOST_HOLDERS {
            return Err(BadInput::new(
                "holder",
                format!("at most {MOST_HOLDERS} names"),
                "more",
            ));
        }
    }
    Ok(holders)
}

fn words(field: &str, text: &str, longest: usize) -> Result<String, BadInput> {
    let text = text.trim();
    if text.chars().nth(longest).is_some() {
        return Err(BadInput::new(
            field,
            format!("at most {longest} characters"),
            text,
        ));
    }
    Ok(text.to_owned())
}
