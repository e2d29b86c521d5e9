//! The fields of the form.

use leptos::prelude::*;
use selion_core::document::ids::BedId;
use selion_core::policy::Action;
use selion_core::quantities::{Day, Spacing, Units};
use selion_core::season::crops::Crop;
use selion_core::season::known::{Known, Span};
use selion_core::season::succession;

use super::Shelf;
use crate::parts::{
    ActKind, Choice, Filter, Pick, act, amount_field, check_field, date_field, filters, pick_field,
    select_field, text_field,
};
use crate::piece::{Memo, Piece, derived, el, memo, pieces, signal_of, when};
use crate::plain::plant_form::preview::fitting_into;
use crate::plain::plant_form::sides::{longest, sides};
use crate::plain::plant_form::suggest::{self, Suggested};
use crate::plain::plant_form::{PlantBox, PlantTyped, Wrong, length_unit, spacing_unit};
use crate::state::{Book, use_book};

const CROP: &str = "crop";
const COVER: &str = "cover";
const SOWN: &str = "sown";
const SET: &str = "set";
const ALL: &str = "all";
const PART: &str = "part";
const KEEP: &str = "keep";

/// What is being typed.
#[derive(Clone, Copy, Debug)]
pub struct Draft {
    kind: RwSignal<&'static str>,
    pub(super) cover: Signal<bool>,
    pub(super) crop: RwSignal<String>,
    word: RwSignal<String>,
    day: RwSignal<String>,
    begins: RwSignal<String>,
    ground: RwSignal<String>,
    side: RwSignal<String>,
    from: RwSignal<String>,
    length: RwSignal<String>,
    along: RwSignal<String>,
    in_row: RwSignal<String>,
    between: RwSignal<String>,
    sowings: RwSignal<String>,
    interval: RwSignal<String>,
    beside: RwSignal<bool>,
    first: RwSignal<String>,
    last: RwSignal<String>,
    until: Option<Day>,
}

impl Draft {
    /// A draft that begins with these.
    pub fn new(typed: PlantTyped) -> Self {
        let kind = signal_of(if typed.cover { COVER } else { CROP });
        Self {
            kind,
            cover: derived(move || kind.get() == COVER),
            crop: signal_of(typed.crop),
            word: signal_of(typed.word),
            day: signal_of(typed.day),
            begins: signal_of(if typed.set { SET } else { SOWN }.to_owned()),
            ground: signal_of(if typed.part { PART } else { ALL }.to_owned()),
            side: signal_of(typed.side),
            from: signal_of(typed.from),
            length: signal_of(typed.length),
            along: signal_of(typed.along),
            in_row: signal_of(typed.in_row),
            between: signal_of(typed.between),
            sowings: signal_of(typed.sowings),
            interval: signal_of(typed.interval),
            beside: signal_of(typed.beside),
            first: signal_of(typed.first),
            last: signal_of(typed.last),
            until: typed.until,
        }
    }

    /// A draft for changing a planting that stands in the plan: its ground is kept unless another is chosen.
    pub fn of_stood(typed: PlantTyped) -> Self {
        let draft = Self::new(typed);
        draft.ground.set(KEEP.to_owned());
        draft
    }

    /// Whether its ground stays as it is.
    pub fn keeps_ground(self) -> bool {
        self.ground.read().as_str() == KEEP
    }

    /// The form as it stands.
    pub fn typed(self) -> PlantTyped {
        PlantTyped {
            cover: self.cover.get(),
            crop: self.crop.get(),
            word: self.word.get(),
            day: self.day.get(),
            set: self.is_set(),
            part: self.is_part(),
            side: self.side.get(),
            from: self.from.get(),
            length: self.length.get(),
            along: self.along.get(),
            in_row: self.in_row.get(),
            between: self.between.get(),
            sowings: self.sowings.get(),
            interval: self.interval.get(),
            beside: self.beside.get(),
            first: self.first.get(),
            last: self.last.get(),
            until: self.until,
        }
    }

    fn is_set(self) -> bool {
        self.begins.read().as_str() == SET
    }

    fn is_part(self) -> bool {
        self.ground.read().as_str() == PART
    }

    /// How many sowings are typed, where that can be read.
    fn count(self) -> usize {
        let typed = self.sowings.get();
        let count = if self.cover.get() {
            None
        } else {
            typed.trim().parse().ok()
        };
        count.unwrap_or(1)
    }

    /// What the button of the form says.
    pub fn send_words(self) -> String {
        match self.count() {
            0 | 1 => "Plan it".to_owned(),
            many => format!("Plan {many} sowings"),
        }
    }
}

/// What is wrong, field by field.
type WrongFields = Memo<Wrong>;

fn at(wrong: WrongFields, of: PlantBox) -> Signal<Option<String>> {
    derived(move || wrong.read().get(&of).cloned())
}

/// All fields, from what is planted to when it is picked.
pub fn plant_fields(
    bed: BedId,
    draft: Draft,
    wrong: WrongFields,
    shelf: Shelf,
    keeping_own: RwSignal<bool>,
) -> Piece {
    let book = use_book();
    let kinds = vec![
        Filter::new(CROP, "A crop"),
        Filter::new(COVER, "A cover crop"),
    ];
    let refused = derived(move || book.why_not(Action::KeepGround, false));
    let crop = memo(move || crop_of(draft, shelf));
    pieces![
        filters("What is planted", kinds, draft.kind),
        what_field(bed, draft, wrong, shelf),
        el("div").child(
            act("Keep an own crop", move || keeping_own.set(true))
                .kind(ActKind::Bare)
                .refused(refused)
        ),
        when_fields(draft, wrong),
        ground_fields(bed, draft, wrong),
        when(
            move || !draft.cover.get(),
            move || pieces![
                series_fields(draft, wrong, crop),
                row_fields(bed, draft, wrong, crop),
                picking_fields(draft, wrong)
            ]
        )
    ]
}

/// The fields of a planting that stands in the plan already.
pub fn change_fields(bed: BedId, draft: Draft, wrong: WrongFields, shelf: Shelf) -> Piece {
    let crop = memo(move || crop_of(draft, shelf));
    pieces![
        what_field(bed, draft, wrong, shelf),
        when_fields(draft, wrong),
        ground_fields(bed, draft, wrong),
        when(
            move || !draft.cover.get(),
            move || pieces![
                row_fields(bed, draft, wrong, crop),
                picking_fields(draft, wrong)
            ]
        )
    ]
}

fn when_fields(draft: Draft, wrong: WrongFields) -> Piece {
    let day_label = move || match (draft.cover.get(), draft.is_set()) {
        (false, true) => "Set out on",
        _sown => "Sown on",
    };
    let begins = vec![
        Choice::new(SOWN, "Sown in place"),
        Choice::new(SET, "Set out as plants"),
    ];
    pieces![
        text_field("Variety, or a word about it", draft.word).error(at(wrong, PlantBox::Word)),
        when(
            move || !draft.cover.get(),
            move || select_field("How it begins", draft.begins, begins.clone())
        ),
        date_field(day_label, draft.day).error(at(wrong, PlantBox::Day)),
        when(
            move || draft.cover.get(),
            move || date_field("Ended on", draft.last)
                .error(at(wrong, PlantBox::Last))
                .help("When it is mown or turned in; the table's days where nothing is said.")
        )
    ]
}

fn crop_of(draft: Draft, shelf: Shelf) -> Option<Crop> {
    let books = shelf.read();
    let books = books.as_ref().as_ref().ok()?;
    let name = draft.crop.read();
    let found = books
        .crops
        .find(name.trim())
        .ok()
        .filter(|_| !draft.cover.get());
    found.cloned()
}

fn what_field(bed: BedId, draft: Draft, wrong: WrongFields, shelf: Shelf) -> Piece {
    let book = use_book();
    let day = memo(move || Day::parse(draft.day.read().trim()).ok());
    // What fits is worked out for a day, not for every letter that is typed.
    let fits = memo(move || {
        let books = shelf.read();
        let (books, day) = books.as_ref().as_ref().ok().zip(day.get())?;
        let until = draft.until;
        Some(fitting_into(&book.garden.read(), books, bed, day, until))
    });
    let picks = memo(move || {
        let books = shelf.read();
        let Ok(books) = books.as_ref() else {
            return Vec::new();
        };
        let (typed, today) = (draft.crop.get(), book.today.get());
        let found: Vec<Suggested> = fits.with(|fits| {
            let (crops, covers) = match fits {
                Some((crops, covers)) => (crops.as_slice(), covers.as_slice()),
                None => (&[][..], &[][..]),
            };
            if draft.cover.get() {
                suggest::covers(books, &typed, covers, today)
            } else {
                suggest::crops(books, &typed, crops, today)
            }
        });
        let pick = |Suggested { name, small }| Pick { name, small };
        found.into_iter().map(pick).collect::<Vec<_>>()
    });
    let label = move || {
        if draft.cover.get() {
            "Cover crop"
        } else {
            "Crop"
        }
    };
    pick_field(label, draft.crop, picks)
        .error(at(wrong, PlantBox::Crop))
        .help("A few letters of its name or family. What fits from that day on comes first.")
        .into()
}

fn side_choices(book: Book, bed: BedId) -> Vec<Choice> {
    let garden = book.garden.read();
    let Some(outline) = garden.beds.get(&bed).map(|bed| &bed.outline) else {
        return Vec::new();
    };
    let all = sides(outline, book.units());
    let longest = longest(outline);
    let mut choices: Vec<Choice> = all
        .iter()
        .filter(|side| side.number == longest)
        .map(|side| Choice::new("", format!("{}, the longest", side.words)))
        .collect();
    let others = all.into_iter().filter(|side| side.number != longest);
    choices.extend(others.map(|side| Choice::new(side.number.to_string(), side.words)));
    choices
}

fn ground_fields(bed: BedId, draft: Draft, wrong: WrongFields) -> Piece {
    let book = use_book();
    let choices = vec![
        Choice::new(ALL, "All of the bed"),
        Choice::new(PART, "A stretch of it"),
    ];
    let sides = derived(move || side_choices(book, bed));
    let unit = derived(move || length_unit(book.units()).to_owned());
    pieces![
        select_field("Ground", draft.ground, choices),
        when(
            move || draft.is_part(),
            move || {
                pieces![
                select_field("Paced off along", draft.side, sides)
                    .error(at(wrong, PlantBox::Side))
                    .help("The numbers stand at the sides on the plan; a side begins at the lower number."),
                el("div")
                    .class("pair")
                    .child(
                        amount_field("Begins after", draft.from, unit)
                            .error(at(wrong, PlantBox::From))
                    )
                    .child(
                        amount_field("Goes on for", draft.length, unit)
                            .error(at(wrong, PlantBox::Length))
                    )
            ]
            }
        )
    ]
}

fn series_fields(draft: Draft, wrong: WrongFields, crop: Memo<Option<Crop>>) -> Piece {
    let many = memo(move || draft.count() > 1);
    let table = move || {
        crop.with(|crop| {
            let every = crop.as_ref().map(succession::interval_of);
            every.map_or_else(String::new, |every| {
                format!(
                    "The table: every {} days{}.",
                    every.value,
                    every.origin.mark()
                )
            })
        })
    };
    let beside = "Each sowing on ground of its own, beside the one before";
    pieces![
        el("div")
            .class("pair")
            .child(
                text_field("Sowings, one after the other", draft.sowings)
                    .error(at(wrong, PlantBox::Sowings))
            )
            .child(
                amount_field("Every", draft.interval, "days")
                    .error(at(wrong, PlantBox::Interval))
                    .help(table)
            ),
        when(
            move || many.get(),
            move || check_field(beside, draft.beside)
        )
    ]
}

fn of_table(known: Option<&Known<Span<Spacing>>>, units: Units) -> String {
    known.map_or_else(
        || "The table has no figure: put in the packet's.".to_owned(),
        |known| {
            let span = known.value.show(|end| end.show(units));
            let widest = if known.value.least == known.value.most {
                ""
            } else {
                "; the most is taken"
            };
            format!("The table: {span}{}{widest}.", known.origin.mark())
        },
    )
}

fn row_fields(bed: BedId, draft: Draft, wrong: WrongFields, crop: Memo<Option<Crop>>) -> Piece {
    let book = use_book();
    let sides = derived(move || side_choices(book, bed));
    let unit = derived(move || spacing_unit(book.units()).to_owned());
    let said = move |of: fn(&Crop) -> Option<&Known<Span<Spacing>>>| {
        derived(move || {
            let units = book.units();
            crop.with(|crop| {
                let crop = crop.as_ref();
                crop.map_or_else(String::new, |crop| of_table(of(crop), units))
            })
        })
    };
    pieces![
        select_field("Rows along", draft.along, sides).error(at(wrong, PlantBox::Along)),
        el("div")
            .class("pair")
            .child(
                amount_field("From plant to plant", draft.in_row, unit)
                    .error(at(wrong, PlantBox::InRow))
                    .help(said(|crop| crop.in_row.as_ref()))
            )
            .child(
                amount_field("From row to row", draft.between, unit)
                    .error(at(wrong, PlantBox::Between))
                    .help(said(|crop| crop.rows.as_ref()))
            )
    ]
}

fn picking_fields(draft: Draft, wrong: WrongFields) -> Piece {
    el("details")
        .class("more")
        .child(el("summary").child("Days of picking, where you know better"))
        .child(
            el("div")
                .class("form pair")
                .child(date_field("First picking", draft.first).error(at(wrong, PlantBox::First)))
                .child(date_field("Last picking", draft.last).error(at(wrong, PlantBox::Last))),
        )
        .into()
}
