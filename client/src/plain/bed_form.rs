//! The forms about a bed: a rectangle put beside the others by its sides, and who holds how many parts.

use selion_core::document::Garden;
use selion_core::document::edit::LIMITS;
use selion_core::document::ids::{BedId, MemberId};
use selion_core::geometry::{Outline, Point};
use selion_core::ordered::Map;
use selion_core::quantities::{BadInput, Length, Units};

use super::typed::with_unit;
use super::wording::capital;

/// A field of the form of a new bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is described where the form is")]
pub enum BedBox {
    Label,
    Length,
    Width,
    Path,
}

/// On which side of another bed the new one lies.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[expect(missing_docs, reason = "the four sides")]
pub enum Side {
    #[default]
    East,
    North,
    West,
    South,
}

impl Side {
    /// All four.
    pub const ALL: [Self; 4] = [Self::East, Self::North, Self::West, Self::South];

    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::East => "east",
            Self::North => "north",
            Self::West => "west",
            Self::South => "south",
        }
    }

    /// The side with this word.
    pub fn of(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|side| side.word() == word)
    }
}

/// What stands in the form of a new bed, as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BedTyped {
    /// Its label.
    pub label: String,
    /// From south to north.
    pub length: String,
    /// From west to east.
    pub width: String,
    /// Beside which bed; the first one lies at the origin.
    pub beside: Option<BedId>,
    /// On which side of it.
    pub side: Side,
    /// How wide the path between them is.
    pub path: String,
}

/// What is wrong, a sentence a field.
pub type Wrong = Map<BedBox, String>;

impl BedTyped {
    /// The label and outline that were typed.
    pub fn read(&self, garden: &Garden, units: Units) -> Result<(String, Outline), Wrong> {
        let mut wrong = Wrong::new();
        let label = self.label.trim().to_owned();
        if label.is_empty() {
            let bad = BadInput::new("label", "a short name, as on the stake, such as A1", "");
            wrong.insert(BedBox::Label, capital(&bad.to_string()));
        }
        let mut side = |of: BedBox, name: &str, text: &str| {
            Length::parse(&with_unit(text, length_unit(units)))
                .map_err(|bad| bad.named(name))
                .unwrap_or_else(|bad| {
                    wrong.insert(of, capital(&bad.to_string()));
                    Length::ZERO
                })
        };
        let length = side(BedBox::Length, "length", &self.length);
        let width = side(BedBox::Width, "width", &self.width);
        let path = if self.path.trim().is_empty() || self.beside.is_none() {
            Length::ZERO
        } else {
            side(BedBox::Path, "path", &self.path)
        };
        if !wrong.is_empty() {
            return Err(wrong);
        }
        let outline = self.outline(garden, length, width, path);
        let outline = outline.map_err(|bad| one_wrong(BedBox::Length, &bad))?;
        match covered(garden, &outline) {
            None => Ok((label, outline)),
            Some(other) => {
                let bad = BadInput::new(
                    "place",
                    "free ground; choose another side or a wider path",
                    format!("ground of {other}"),
                );
                Err(one_wrong(BedBox::Path, &bad))
            }
        }
    }

    fn outline(
        &self,
        garden: &Garden,
        length: Length,
        width: Length,
        path: Length,
    ) -> Result<Outline, BadInput> {
        let corner = match self.beside.and_then(|bed| garden.beds.get(&bed)) {
            None => Point::default(),
            Some(other) => {
                let bounds = other.outline.bounds();
                let (min, max) = (bounds.min, bounds.max);
                let (path, length, width) = (path.mm(), length.mm(), width.mm());
                match self.side {
                    Side::East => Point::from_mm(max.x.mm().saturating_add(path), min.y.mm()),
                    Side::North => Point::from_mm(min.x.mm(), max.y.mm().saturating_add(path)),
                    Side::West => Point::from_mm(
                        min.x.mm().saturating_sub(path).saturating_sub(width),
                        min.y.mm(),
                    ),
                    Side::South => Point::from_mm(
                        min.x.mm(),
                        min.y.mm().saturating_sub(path).saturating_sub(length),
                    ),
                }
            }
        };
        Outline::rectangle(corner, width, length)
    }
}

/// A length without a unit is meant in this one.
pub fn length_unit(units: Units) -> &'static str {
    match units {
        Units::Metric => "m",
        Units::UsCustomary => "ft",
    }
}

/// The holders that were typed: each with a whole number of parts. What is wrong is told by person.
pub fn read_holders(
    typed: &[(MemberId, String)],
) -> Result<Map<MemberId, u32>, Map<MemberId, String>> {
    let mut holders = Map::new();
    let mut wrong = Map::new();
    for (member, text) in typed {
        match text.trim().parse::<u32>() {
            Ok(parts) if (1..=LIMITS.parts).contains(&parts) => {
                holders.insert(*member, parts);
            }
            Ok(_) | Err(_) => {
                let bad = BadInput::new(
                    "parts",
                    format!("a whole number from 1 to {}", LIMITS.parts),
                    text,
                );
                wrong.insert(*member, capital(&bad.to_string()));
            }
        }
    }
    if wrong.is_empty() {
        Ok(holders)
    } else {
        Err(wrong)
    }
}

/// The label of a bed that the outline would lie on, if there is one: they share a corner's ground or a middle.
fn covered(garden: &Garden, outline: &Outline) -> Option<String> {
    garden
        .open_beds()
        .into_iter()
        .find(|(_, bed)| overlaps(outline, &bed.outline))
        .map(|(_, bed)| bed.label.clone())
}

// Beds may touch edge to edge; a label point is well inside, so it decides.
fn overlaps(one: &Outline, other: &Outline) -> bool {
    one.contains(other.label_point()) || other.contains(one.label_point())
}

fn one_wrong(of: BedBox, bad: &BadInput) -> Wrong {
    Wrong::from([(of, capital(&bad.to_string()))])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain::sample::{bed, garden, member};

    fn typed(side: Side, path: &str) -> BedTyped {
        BedTyped {
            label: " D1 ".into(),
            length: "3".into(),
            width: "1 m".into(),
            beside: Some(bed(1)),
            side,
            path: path.into(),
        }
    }

    fn outline(typed: &BedTyped) -> String {
        let (label, outline) = typed.read(&garden(), Units::Metric).unwrap();
        assert_eq!(label, "D1");
        outline.to_string()
    }

    // The bed beside which it is put is 1 m wide and 3 m long, at the origin.
    #[test]
    fn a_bed_lies_on_the_side_that_was_chosen_beyond_the_path() {
        assert_eq!(
            outline(&typed(Side::East, "0.5")),
            "POLYGON((1500 0,2500 0,2500 3000,1500 3000,1500 0))"
        );
        assert_eq!(
            outline(&typed(Side::West, "50 cm")),
            "POLYGON((-1500 0,-500 0,-500 3000,-1500 3000,-1500 0))"
        );
        assert_eq!(
            outline(&typed(Side::North, "")),
            "POLYGON((0 3000,1000 3000,1000 6000,0 6000,0 3000))"
        );
        assert_eq!(
            outline(&typed(Side::South, "1")),
            "POLYGON((0 -4000,1000 -4000,1000 -1000,0 -1000,0 -4000))"
        );
    }

    #[test]
    fn every_wrong_field_says_so_at_once() {
        let typed = BedTyped {
            label: String::new(),
            length: "long".into(),
            ..typed(Side::East, "some")
        };
        let wrong = typed.read(&garden(), Units::Metric).unwrap_err();
        let fields: Vec<BedBox> = wrong.keys().copied().collect();
        assert_eq!(fields, [BedBox::Label, BedBox::Length, BedBox::Path]);
    }

    #[test]
    fn a_bed_is_not_put_on_another() {
        let typed = BedTyped {
            beside: None,
            ..typed(Side::East, "")
        };
        let wrong = typed.read(&garden(), Units::Metric).unwrap_err();
        let sentence = wrong.get(&BedBox::Path).unwrap();
        assert!(sentence.contains("“ground of A2” came"), "{sentence}");
        assert!(typed.read(&Garden::default(), Units::Metric).is_ok());
    }

    #[test]
    fn parts_are_whole_numbers_and_the_wrong_ones_are_told_by_person() {
        let (one, two) = (member(1), member(2));
        let read = |a: &str, b: &str| read_holders(&[(one, a.to_owned()), (two, b.to_owned())]);
        assert_eq!(read("2", " 1 "), Ok(Map::from([(one, 2), (two, 1)])));
        let wrong = read("2", "half").unwrap_err();
        assert_eq!(wrong.keys().copied().collect::<Vec<_>>(), [two]);
        assert!(read("0", "1").is_err());
    }
}
