//! The structures on the sheet, each kind in its own way; the key that names them; and the hour for which shade is drawn.

use leptos::prelude::*;
use selion_core::document::records::StructureKind;
use selion_core::document::signs::When;

use crate::parts::{Choice, date_field, heading, line, lines, select_field};
use crate::piece::{Memo, Piece, el, live, memo, pieces, signal_of, svg, when};
use crate::plain::ground_structures::{
    self, DrawnStructure, StructureRow, hatch, hours, key_words, kinds,
};
use crate::state::{Book, use_book};

/// The hour for which the shade of trees is drawn.
#[derive(Clone, Copy, Debug)]
pub struct ShadeHour {
    book: Book,
    day: RwSignal<String>,
    hour: RwSignal<String>,
}

/// Noon of today, until another is chosen.
pub fn shade_hour() -> ShadeHour {
    ShadeHour {
        book: use_book(),
        day: signal_of(String::new()),
        hour: signal_of("12".to_owned()),
    }
}

impl ShadeHour {
    /// The hour as it is chosen.
    pub fn when(self) -> When {
        let today = self.book.today.get();
        ground_structures::when(&self.day.read(), &self.hour.read(), today)
    }

    /// The fields that choose it, where there are trees.
    pub fn fields(self) -> Piece {
        let book = self.book;
        let has_trees = memo(move || kinds(&book.garden.read()).contains(&StructureKind::Tree));
        let choices: Vec<Choice> = hours()
            .map(|(key, words)| Choice::new(key, words))
            .collect();
        when(move || has_trees.get(), move || {
            el("details")
                .class("more screen-only")
                .child(el("summary").child("Shade of the trees at another hour"))
                .child(
                    el("div")
                        .class("form")
                        .child(
                            el("div")
                                .class("pair")
                                .child(date_field("Day", self.day))
                                .child(select_field("Hour of the sun", self.hour, choices.clone())),
                        )
                        .child(el("p").class("help").child(
                            "By the tree’s height and the garden’s latitude, on level ground. The sun stands highest at 12:00; a \
                             clock shows that up to two hours later. Without a height, the shade is drawn as somebody noted it, or \
                             on the side away from the noon sun.",
                        )),
                )
        })
        .into()
    }
}

/// The ground in the shade of a tree. It lies above the beds, and no finger feels it.
pub fn shade_mark(shade: String) -> Piece {
    svg("path")
        .class("shade")
        .attr("d", shade)
        .attr("fill", "url(#hatch-shade)")
        .into()
}

/// A structure on the sheet, without its label and its shade.
pub fn structure_marks(drawn: DrawnStructure) -> Piece {
    let DrawnStructure {
        kind,
        path,
        arrow,
        label_at: (x, y),
        ..
    } = drawn;
    let inside = hatch(kind).map(|hatch| {
        svg("path")
            .class("inside")
            .attr("d", path.clone())
            .attr("fill", hatch)
            .attr("fill-rule", "evenodd")
    });
    let trunk = (kind == StructureKind::Tree).then(|| {
        svg("g")
            .attr("transform", format!("translate({x:.0} {y:.0})"))
            .child(
                svg("path")
                    .class("trunk pinned")
                    .attr("d", "M-4 -4L4 4M-4 4L4 -4"),
            )
    });
    pieces![
        inside,
        svg("path")
            .class("structure")
            .class(kind.key())
            .attr("d", path)
            .attr("fill-rule", "evenodd"),
        trunk,
        arrow.map(|arrow| svg("path").class("fall").attr("d", arrow))
    ]
}

/// A structure with its label, which leaves where there is no room for it.
pub fn structure(drawn: DrawnStructure, scale: ReadSignal<f64>) -> Piece {
    let crowded = {
        let drawn = drawn.clone();
        memo(move || drawn.is_crowded(scale.get()))
    };
    let label = named(&drawn);
    pieces![
        structure_marks(drawn),
        svg("g").class_if("crowded", crowded).child(label)
    ]
}

/// The label of a structure, below the mark in its middle.
pub fn named(drawn: &DrawnStructure) -> Piece {
    let (x, y) = drawn.label_at;
    svg("g")
        .attr("transform", format!("translate({x:.0} {y:.0})"))
        .child(
            svg("g").class("pinned").child(
                svg("text")
                    .class("remark")
                    .attr("font-size", "12")
                    .attr("y", "14")
                    .child(drawn.label.clone()),
            ),
        )
        .into()
}

/// The marks of the kinds that are on the ground, for the key below the plan.
pub fn structure_key() -> Piece {
    let book = use_book();
    let shown = memo(move || kinds(&book.garden.read()));
    let one = |kind: StructureKind| el("span").child(key_mark(kind)).child(key_words(kind));
    live(move || shown.get().into_iter().map(one).collect::<Piece>())
}

/// A little drawing of a kind. It has a hatch of its own, since those of the plan are measured in millimetres of ground.
fn key_mark(kind: StructureKind) -> Piece {
    let inside = match kind {
        StructureKind::Path => "M3 4h3M9 4h3M15 4h3M6 10h3M12 10h3",
        StructureKind::Water => "M1 5q3-4 5 0t5 0t5 0t5 0M1 11q3-4 5 0t5 0t5 0t5 0",
        StructureKind::Compost => {
            "M0 7L7 0M0 14L14 0M8 14L22 0M15 14L22 7M0 7L7 14M0 0L14 14M8 0L22 14M15 0L22 7"
        }
        StructureKind::Building => "M0 8L8 0M2 14L16 0M10 14L22 2M18 14L22 10",
        StructureKind::Tree => "M8 4l6 6M8 10l6 -6",
        StructureKind::Slope => "M1 7H21M15 2L21 7L15 12",
        StructureKind::Other => "",
    };
    let edge = match kind {
        StructureKind::Tree => Some(
            svg("circle")
                .attr("cx", "11")
                .attr("cy", "7")
                .attr("r", "6.5"),
        ),
        StructureKind::Slope => None,
        StructureKind::Other
        | StructureKind::Building
        | StructureKind::Path
        | StructureKind::Water
        | StructureKind::Compost => {
            let edge = svg("rect").attr("width", "22").attr("height", "14");
            Some(edge.class(kind.key()))
        }
    };
    svg("svg")
        .class("key-mark thing")
        .attr("viewBox", "0 0 22 14")
        .attr("aria-hidden", "true")
        .child(svg("path").attr("d", inside))
        .child(edge)
        .into()
}

/// The list of structures beside the plan, which says the same.
pub fn structure_list(hour: ShadeHour) -> Piece {
    let book = use_book();
    let rows: Memo<Vec<StructureRow>> =
        memo(move || ground_structures::rows(&book.garden.read(), hour.when(), book.units()));
    let one = |row: StructureRow| {
        let StructureRow { label, words, area } = row;
        Piece::from(line(label).small(words).child(area))
    };
    when(
        move || !rows.read().is_empty(),
        move || {
            pieces![
                heading("Also on the ground"),
                lines().child(move || rows.get().into_iter().map(one).collect::<Piece>())
            ]
        },
    )
    .into()
}
