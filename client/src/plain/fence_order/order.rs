//! The order of material that begins from a fence.

use selion_core::document::edit::NewOrder;
use selion_core::document::ids::LineId;
use selion_core::document::records::{AmountsFrom, OrderLine, Pack};
use selion_core::ordered::Map;
use selion_core::quantities::{Amount, CountedIn};
use selion_core::shares::order::ShareRule;

use super::FencePlan;

/// The order that begins from a fence: posts, rolls and ties by the piece, each shared evenly by bed area. Prices are still
/// to be put in. Line ids are handed in, one after the other.
pub fn new_order(plan: &FencePlan, mut fresh: impl FnMut() -> LineId) -> NewOrder {
    let take_off = &plan.take_off.result;
    let units = take_off.units;
    let posts = format!("Fence posts of {}", take_off.post_length.show(units));
    let rolls = take_off.mesh.map(|mesh| {
        let width = take_off.mesh_width.show(units);
        (format!("Rolls of mesh {width} wide"), mesh.rolls)
    });
    let ties = take_off.ties.map(|ties| ("Ties".to_owned(), ties));
    let gates = i64::try_from(plan.gates()).unwrap_or(0);
    let gates = (gates > 0).then(|| ("Gates".to_owned(), gates));
    let items = std::iter::once((posts, take_off.posts))
        .chain(rolls)
        .chain(ties)
        .chain(gates);
    let lines = items
        .filter(|(_, count)| *count > 0)
        .map(|(material, count)| (fresh(), piece_line(material, count, &plan.label)));
    NewOrder {
        title: format!("{}: material", plan.label),
        lines: lines.collect(),
        ..NewOrder::default()
    }
}

fn piece_line(material: String, count: i64, label: &str) -> OrderLine {
    let one = Pack {
        size: Amount::from_count(1),
        ..Pack::default()
    };
    OrderLine {
        material,
        counted_in: CountedIn::Pieces,
        amounts: AmountsFrom::Even,
        rate_source: format!("Take-off of {label}, as drawn on the ground."),
        whole: Amount::from_count(count),
        packs: Map::from([(1.into(), one)]),
        rule: ShareRule::Area,
        ..OrderLine::default()
    }
}

#[cfg(test)]
mod tests {
    use selion_core::quantities::{Length, Moment, Units};

    use super::super::plan;
    use super::super::tests::{around, typed};
    use super::*;

    #[test]
    fn a_drawn_fence_becomes_lines_of_an_order_shared_by_bed_area() {
        let plan = plan(&around(), &typed(), Units::UsCustomary).unwrap();
        let mut next = 0;
        let order = new_order(&plan, || {
            next += 1;
            LineId::fresh(Moment::from_millis(next), [0; 10])
        });
        assert_eq!(order.title, "Deer fence: material");
        let lines: Vec<String> = order
            .lines
            .values()
            .map(|line| format!("{} {}", line.whole.count(), line.material))
            .collect();
        let take_off = &plan.take_off.result;
        assert_eq!(take_off.fence, Length::parse("308 ft").unwrap());
        let expected = [
            format!("{} Fence posts of 11 ft", take_off.posts),
            "1 Rolls of mesh 8 ft wide".to_owned(),
            format!("{} Ties", take_off.posts * 6),
            "1 Gates".to_owned(),
        ];
        assert_eq!(lines, expected);
        assert!(
            order
                .lines
                .values()
                .all(|line| line.amounts == AmountsFrom::Even)
        );
    }
}
