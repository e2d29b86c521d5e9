//! Beds, structures and fence lines from a file, as ordinary edits.

use selion_core::document::{DocumentName, Garden};
pub use selion_core::exchange::bring_in::Imported;
use selion_core::exchange::bring_in::{Fresh, as_new, ground_of};
use selion_core::exchange::{FoundGround, geojson};

use crate::by_hand::{ByHandError, Hand};
use crate::chance;
use crate::rooms::Desk;

/// Brings what was found in a file into a garden, all of it or nothing. Holders who are not in the garden yet become
/// members. A ground without places (a table) is laid below what is there.
pub fn import_ground(
    desk: &mut Desk<'_>,
    hand: Hand,
    found: &FoundGround,
    has_places: bool,
) -> Result<Imported, ByHandError> {
    let picture = desk.hall.picture(desk.store.as_read(), hand.garden)?;
    let fresh = Fresh {
        now: desk.now,
        chance: &|| chance::bytes(),
    };
    let (edits, imported) = as_new(picture, found, has_places, &fresh)?;
    hand.make(
        desk,
        edits
            .into_iter()
            .map(|edit| (DocumentName::Ground, edit))
            .collect(),
    )?;
    Ok(imported)
}

/// The ground of a garden as GeoJSON: what was not given up, with the names of those who hold it.
pub fn export_ground(garden: &Garden) -> String {
    geojson::write(&ground_of(garden))
}

#[cfg(test)]
mod tests {
    use selion_core::exchange::bed_table;
    use selion_core::geometry::Bounds;
    use selion_core::quantities::Units;

    use super::*;
    use crate::exchange::keeper_of_ground;
    use crate::testing::Bench;

    const TWO_BEDS: &str =
        "label,length,width,unit,holder,note\nN1,30,12,ft,Rowan 2; Linnet,stony\nN2,20,12,ft,,\n";

    fn bring_in(bench: &mut Bench, by: Hand, text: &str) -> Result<Imported, ByHandError> {
        import_ground(
            &mut bench.desk(),
            by,
            &bed_table::read(text).unwrap(),
            false,
        )
    }

    #[test]
    fn a_table_brings_beds_notes_and_people() {
        let mut bench = Bench::new();
        let rowan = bench.garden("Upper Meadow");
        let hand = Hand {
            garden: rowan.garden,
            member: rowan.member,
        };
        let imported = bring_in(&mut bench, hand, TWO_BEDS).unwrap();
        assert_eq!(
            imported,
            Imported {
                beds: 2,
                people: 1,
                ..Imported::default()
            }
        );
        let garden = bench.hall.picture(&bench.store, rowan.garden).unwrap();
        assert_eq!(keeper_of_ground(garden), Some(rowan.member));
        let (_, bed) = garden.open_beds()[0];
        assert_eq!(
            (
                bed.outline.area().show(Units::UsCustomary),
                bed.note.as_str()
            ),
            ("360 sq ft".to_owned(), "stony")
        );
        assert_eq!(bed.holders.get(&rowan.member), Some(&2));

        let further = bring_in(
            &mut bench,
            hand,
            &TWO_BEDS.replace("N1", "N3").replace("N2", "N4"),
        )
        .unwrap();
        assert_eq!(further.people, 0);
        let garden = bench.hall.picture(&bench.store, rowan.garden).unwrap();
        let boxes: Vec<Bounds> = garden
            .open_beds()
            .iter()
            .map(|(_, bed)| bed.outline.bounds())
            .collect();
        assert!(
            boxes[2].max.y < boxes[0].min.y && boxes[3].max.y < boxes[1].min.y,
            "below what was there"
        );
    }

    #[test]
    fn a_file_comes_in_whole_or_not_at_all() {
        let mut bench = Bench::new();
        let rowan = bench.garden("Upper Meadow");
        let hand = Hand {
            garden: rowan.garden,
            member: rowan.member,
        };
        bring_in(&mut bench, hand, TWO_BEDS).unwrap();
        let refused = bring_in(&mut bench, hand, &TWO_BEDS.replace("N1", "N5")).unwrap_err();
        assert_eq!(
            refused.to_string(),
            "change 3 of 3: label: there already is a bed called N2."
        );
        assert_eq!(
            bench
                .hall
                .picture(&bench.store, rowan.garden)
                .unwrap()
                .beds
                .len(),
            2
        );
    }

    #[test]
    fn a_ground_goes_out_and_comes_in_the_same() {
        let mut bench = Bench::new();
        let made = crate::demo::make(&mut bench.desk()).unwrap();
        let text = export_ground(bench.hall.picture(&bench.store, made.garden).unwrap());
        let rowan = bench.garden("Another");
        let hand = Hand {
            garden: rowan.garden,
            member: rowan.member,
        };
        import_ground(
            &mut bench.desk(),
            hand,
            &geojson::read(&text).unwrap(),
            true,
        )
        .unwrap();
        let garden = bench.hall.picture(&bench.store, rowan.garden).unwrap();
        assert_eq!(export_ground(garden), text);
        assert!(
            garden
                .fence_lines
                .values()
                .any(|fence| !fence.gates.is_empty()),
            "the demonstration garden's gate came along"
        );
    }
}
