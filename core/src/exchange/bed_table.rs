//! A plain table of beds, as a spreadsheet saves it: label, length, width, and who holds them.
//!
//! - The first line names the columns, in any order: `label`, `length`, `width`, and if wanted `unit`, `holder`, `note`. Other
//!   columns are left alone. Commas, semicolons or tabs between them.
//! - A length has its unit in its own cell (`12 ft 6 in`) or in the column `unit`.
//! - A table does not say where the beds lie, so they are laid out in rows, a path apart, for somebody to move into place.
//!
//! ```
//! use selion_core::exchange::bed_table;
//! use selion_core::quantities::Units;
//!
//! let found = bed_table::read("label,width,length,unit,holder\nC4,12,30,ft,Ines 2; Tomasz\nC5,12,20,ft,\n")?;
//! assert_eq!(found.beds[0].outline.area().show(Units::UsCustomary), "360 sq ft");
//! assert!(found.beds[1].holders.is_empty(), "a common bed");
//! # Ok::<(), selion_core::quantities::BadInput>(())
//! ```

use csv::{ReaderBuilder, StringRecord, Trim};

use super::MOST_FEATURES;
use super::found::{self, FoundBed, FoundGround, FoundKind};
use crate::geometry::{Outline, Point};
use crate::quantities::{BadInput, Length};

/// The path between beds that are laid out: 60 cm.
const PATH: i64 = 600;
/// The longest side of a bed: a kilometre.
const LONGEST_SIDE: Length = Length::from_mm(1_000_000);

/// Reads a table of beds.
pub fn read(text: &str) -> Result<FoundGround, BadInput> {
    let text = found::bounded(text, "a table")?;
    let mut reader = ReaderBuilder::new()
        .delimiter(delimiter(text))
        .trim(Trim::All)
        .flexible(true)
        .from_reader(text.as_bytes());
    let unreadable = |error: csv::Error| {
        BadInput::new(
            "file",
            "a table with a line of column names",
            error.to_string(),
        )
    };
    let columns = Columns::of(reader.headers().map_err(unreadable)?)?;
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(unreadable)?;
        if record.iter().all(str::is_empty) {
            continue;
        }
        let line = record.position().map_or(0, csv::Position::line);
        rows.push(
            columns
                .row(&record)
                .map_err(|refusal| in_line(refusal, line))?,
        );
        if rows.len() > MOST_FEATURES {
            return Err(BadInput::new(
                "file",
                format!("at most {MOST_FEATURES} beds"),
                "more",
            ));
        }
    }
    if rows.is_empty() {
        return Err(BadInput::new(
            "file",
            "at least one bed below the column names",
            "",
        ));
    }
    Ok(FoundGround {
        beds: laid_out(rows)?,
        fences: Vec::new(),
    })
}

/// Where each column stands.
struct Columns {
    label: usize,
    length: usize,
    width: usize,
    unit: Option<usize>,
    holder: Option<usize>,
    note: Option<usize>,
}

/// One bed of the table.
struct Row {
    label: String,
    length: Length,
    width: Length,
    holders: Vec<(String, u32)>,
    note: Option<String>,
    line: u64,
}

impl Columns {
    fn of(names: &StringRecord) -> Result<Self, BadInput> {
        let find = |name: &str| {
            names
                .iter()
                .position(|column| column.eq_ignore_ascii_case(name))
        };
        let needed = |name: &str| {
            let came = names.iter().collect::<Vec<_>>().join(", ");
            find(name).ok_or_else(|| BadInput::new("file", format!("a column named {name}"), came))
        };
        Ok(Self {
            label: needed("label")?,
            length: needed("length")?,
            width: needed("width")?,
            unit: find("unit"),
            holder: find("holder"),
            note: find("note"),
        })
    }

    fn row(&self, record: &StringRecord) -> Result<Row, BadInput> {
        let cell = |column: usize| record.get(column).unwrap_or("");
        let maybe = |column: Option<usize>| column.map_or("", cell);
        let label = found::label(cell(self.label))?;
        if label.is_empty() {
            return Err(BadInput::new("label", "a label for the bed", ""));
        }
        let side = |name: &str, column: usize| {
            let typed = format!("{} {}", cell(column), maybe(self.unit));
            let side = Length::parse(&typed).map_err(|refusal| refusal.named(name))?;
            if side.is_positive() && side <= LONGEST_SIDE {
                return Ok(side);
            }
            Err(BadInput::new(
                name,
                "more than nothing and at most 1 km",
                typed,
            ))
        };
        Ok(Row {
            label,
            length: side("length", self.length)?,
            width: side("width", self.width)?,
            holders: found::holders(maybe(self.holder))?,
            note: found::note(maybe(self.note))?,
            line: record.position().map_or(0, csv::Position::line),
        })
    }
}

/// Places beds side by side, upright, in rows of about the same width as all rows together are deep.
fn laid_out(rows: Vec<Row>) -> Result<Vec<FoundBed>, BadInput> {
    let ground: i64 = rows
        .iter()
        .map(|row| (row.width.mm() + PATH) * (row.length.mm() + PATH))
        .fold(0, i64::saturating_add);
    let full = ground.isqrt();
    let (mut x, mut y, mut deepest) = (0_i64, 0_i64, 0_i64);
    let mut beds = Vec::with_capacity(rows.len());
    for row in rows {
        if x > 0 && x + row.width.mm() > full {
            (x, y, deepest) = (0, y + deepest + PATH, 0);
        }
        let outline = Outline::rectangle(Point::from_mm(x, y), row.width, row.length)
            .map_err(|refusal| in_line(refusal, row.line))?;
        x += row.width.mm() + PATH;
        deepest = deepest.max(row.length.mm());
        let Row {
            label,
            holders,
            note,
            ..
        } = row;
        beds.push(FoundBed {
            label,
            outline,
            holders,
            note,
            kind: FoundKind::Bed,
        });
    }
    Ok(beds)
}

/// What stands between the columns, by the line of their names.
fn delimiter(text: &str) -> u8 {
    let names = text.lines().next().unwrap_or("");
    let count = |mark: u8| names.bytes().filter(|byte| *byte == mark).count();
    // The last of equals is taken: a comma, if there is nothing at all.
    [b'\t', b';', b',']
        .into_iter()
        .max_by_key(|mark| count(*mark))
        .unwrap_or(b',')
}

fn in_line(refusal: BadInput, line: u64) -> BadInput {
    let field = format!("line {line}, {}", refusal.field);
    refusal.named(field)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn refusal(text: &str) -> String {
        read(text).unwrap_err().to_string()
    }

    #[test]
    fn columns_in_any_order_and_any_of_three_marks() {
        let expected =
            read("label,length,width,unit,holder,note\nC4,30,12,ft,Ines 2; Tomasz 1,stony\n")
                .unwrap();
        assert_eq!(
            expected.beds[0].holders,
            [("Ines".to_owned(), 2), ("Tomasz".to_owned(), 1)]
        );
        assert_eq!(expected.beds[0].note.as_deref(), Some("stony"));
        for text in [
            "Holder;Note;UNIT;Width;Length;Label\n\"Ines 2; Tomasz\";stony;ft;12;30;C4\n",
            "\u{feff}label\tcolour\tlength\twidth\tholder\tnote\r\nC4\tgreen\t30 ft\t12 ft\tInes 2; Tomasz\tstony\r\n\r\n",
        ] {
            assert_eq!(read(text).unwrap(), expected, "{text}");
        }
        assert_eq!(
            read("label;length;width;unit\nA;3,5;1,2;m\n").unwrap().beds[0]
                .outline
                .sides(),
            Some((Length::from_mm(1_200), Length::from_mm(3_500)))
        );
    }

    #[test]
    fn each_refusal_names_its_line() {
        let table = |row: &str| format!("label,length,width,unit,holder\nA1,3,1,m,\n{row}\n");
        assert_eq!(
            refusal(&table("A2,long,1,m,")),
            "line 3, length: expected a length with its unit, such as 3.5 m or 12 ft 6 in, but “long m” came."
        );
        assert!(
            refusal(&table("A2,3,1,,")).starts_with("line 3, length: "),
            "no unit anywhere"
        );
        assert!(
            refusal(&table("A2,3,0,m,")).starts_with("line 3, width: expected more than nothing")
        );
        assert!(refusal(&table(",3,1,m,")).starts_with("line 3, label: "));
        assert!(
            refusal(&table("A2,3,1,m,Ines; Ines"))
                .starts_with("line 3, holder: expected each name once")
        );
        assert!(
            refusal(&table("A2,3,1,m,Ines 0"))
                .starts_with("line 3, holder: expected 1 to 1000 parts")
        );
        assert!(refusal(&table("A2")).starts_with("line 3, length: "));
        assert!(refusal("label,length\n").starts_with("file: expected a column named width"));
        assert!(refusal("").starts_with("file: "));
        assert!(refusal("label,length,width\n").starts_with("file: expected at least one bed"));
        assert!(refusal(&"x".repeat(3_000_000)).contains("2 MB"));
    }

    proptest! {
        #[test]
        fn beds_do_not_overlap(sides in prop::collection::vec((300_i64..20_000, 300_i64..40_000), 1..40)) {
            let rows: Vec<String> = sides.iter().map(|(width, length)| format!("B,{width},{length},mm")).collect();
            let beds = read(&format!("label,width,length,unit\n{}", rows.join("\n"))).unwrap().beds;
            prop_assert_eq!(beds.len(), sides.len());
            for (index, bed) in beds.iter().enumerate() {
                let (mine, (width, length)) = (bed.outline.bounds(), sides[index]);
                prop_assert_eq!((mine.width().mm(), mine.depth().mm()), (width, length));
                for other in beds.iter().take(index).map(|bed| bed.outline.bounds()) {
                    let apart = mine.min.x > other.max.x || other.min.x > mine.max.x || mine.min.y > other.max.y || other.min.y > mine.max.y;
                    prop_assert!(apart, "{:?} {:?}", mine, other);
                }
            }
        }

        #[test]
        fn any_text_is_read_or_refused(text in ".{0,200}", rows in "[A-C0-9,;\"\n m]{0,120}") {
            let _ = (read(&text), read(&format!("label,length,width,unit,holder\n{rows}")));
        }
    }
}
