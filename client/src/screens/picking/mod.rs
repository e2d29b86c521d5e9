//! Picking: who picks which bed when, this week and next, and what was picked.

pub mod log;
pub mod picked;
pub mod put_up;
pub mod turn_sheet;
pub mod turns;

use leptos::prelude::*;
use leptos_router::hooks::use_query_map;
use selion_core::document::ids::{BedId, TurnId};
use selion_core::policy::Action;
use selion_core::quantities::Day;

use self::log::{LogDraft, LogSheet};
use self::picked::Picked;
use self::put_up::PutUp;
use self::turn_sheet::TurnSheet;
use self::turns::WeekTurns;
use crate::browser::page;
use crate::parts::{Act, ActKind, Acts, PageHead, TabPanel, Tabs};
use crate::plain::wording::week_of;
use crate::state::use_book;

/// The sheets of this screen: which is up, and about what.
#[derive(Clone, Copy, Debug)]
pub struct Sheets {
    turn: RwSignal<Option<TurnId>>,
    turn_up: RwSignal<bool>,
    log_up: RwSignal<bool>,
    draft: LogDraft,
}

impl Sheets {
    fn open_turn(self, turn: TurnId) {
        self.turn.set(Some(turn));
        self.turn_up.set(true);
    }

    /// Begins to write down what was picked, in a turn or without one.
    fn open_log(self, today: Day, turn: Option<(TurnId, BedId)>) {
        self.turn_up.set(false);
        self.draft.begin(today, turn);
        self.log_up.set(true);
    }
}

/// The screen.
#[component]
pub fn PickingPage() -> impl IntoView {
    let book = use_book();
    let sheets = Sheets {
        turn: RwSignal::new(None),
        turn_up: RwSignal::new(false),
        log_up: RwSignal::new(false),
        draft: LogDraft::empty(),
    };
    let putting_up = RwSignal::new(false);
    let chosen = RwSignal::new("this");
    open_asked_turn(sheets, chosen);
    let this_week = Memo::new(move |_| book.today.get().week());
    let next_week = Memo::new(move |_| this_week.get().next());
    let label =
        Signal::derive(move || format!("{} · {}", book.garden_name(), week_of(this_week.get())));
    view! {
        <PageHead label=label title="Picking" />
        <Tabs id="picking" label="Which week" leaves=vec![("this", "This week"), ("next", "Next week")] chosen=chosen />
        <TabPanel tabs="picking" leaf="this" chosen=chosen>
            <WeekTurns week=this_week sheets=sheets />
        </TabPanel>
        <TabPanel tabs="picking" leaf="next" chosen=chosen>
            <WeekTurns week=next_week sheets=sheets />
        </TabPanel>
        <Act
            words="Write down what was picked" kind=ActKind::Main wide=true on_press=move |()| sheets.open_log(book.today.get_untracked(), None)
            refused=Signal::derive(move || book.why_not(Action::LogPicking, true))
        />
        <Acts>
            <Show when=move || book.may(Action::KeepTurns, false)>
                <Act words="Put up turns" on_press=move |()| putting_up.set(true) />
            </Show>
            <Act words="Print" on_press=move |()| page::note_trouble(page::print()) />
        </Acts>
        <Picked week=this_week />
        <TurnSheet sheets=sheets />
        <LogSheet sheets=sheets />
        <PutUp open=putting_up />
    }
}

// `/picking?turn=…` opens the sheet of that turn, once it is here, on the leaf of its week.
fn open_asked_turn(sheets: Sheets, chosen: RwSignal<&'static str>) {
    let book = use_book();
    let query = use_query_map();
    let asked = Memo::new(move |_| query.read().get("turn")?.parse::<TurnId>().ok());
    let opened = StoredValue::new(None);
    Effect::new(move |_| {
        let Some(turn) = asked.get().filter(|turn| opened.get_value() != Some(*turn)) else {
            return;
        };
        let day = book.garden.read().turn(turn).map(|(_, turn)| turn.day);
        if let Some(day) = day {
            opened.set_value(Some(turn));
            if day.week() == book.today.get_untracked().week().next() {
                chosen.set("next");
            }
            sheets.open_turn(turn);
        }
    });
}
