//! Every part in use on one page, at `/parts`, to be looked at while working on them. Not in the program for phones.

pub mod phone;
pub mod plan;

use leptos::prelude::*;
use selion_core::reckoning::{Caution, Reckoning, Source, Step};

use crate::browser::page::{self, Theme};
use crate::parts::{
    Act, ActKind, Acts, AmountField, CheckField, Choice, Confirm, DateField, Empty, FigureRow,
    Figures, Filter, Filters, Form, Heading, Line, Lines, Note, NoteField, NoteKind, PageHead,
    Places, Qr, SelectField, SendButton, Sheet, TabPanel, Tabs, Tag, TagKind, TextField, Working,
    WorkingText, use_toasts,
};
use crate::plain::truth::Truth;

/// The page.
#[component]
pub fn PartsPage() -> impl IntoView {
    view! {
        <PageHead label="Sorrel Bank · week 23" title="The parts" />
        <Switches />
        <plan::SamplePlan />
        <SampleLines />
        <SampleShares />
        <SampleForm />
        <SampleSheets />
        <phone::Phone />
        <Heading text="A code" />
        <Qr
            text="https://sorrel-bank.example/join#bWFkZSB1cCBmb3IgdGhpcw"
            label="Code of an invitation"
        />
        <Empty lead="Nothing waits for hands this week">
            <p>"Tasks that the coordinator writes down show here."</p>
        </Empty>
    }
}

#[component]
fn Switches() -> impl IntoView {
    let truth = use_context::<RwSignal<Truth>>();
    let tell = move |line: Truth| {
        if let Some(truth) = truth {
            truth.set(line);
        }
    };
    tell(Truth::in_step("09:41"));
    let themes = Theme::ALL.map(|theme| {
        let choose = move |()| page::note_trouble(page::set_theme(theme));
        view! { <Act words=theme.name() on_press=choose /> }
    });
    view! {
        <Acts>{themes.collect_view()}</Acts>
        <Acts>
            <Act words="In step" on_press=move |()| tell(Truth::in_step("09:41")) />
            <Act words="Waiting" on_press=move |()| tell(Truth::waiting(3, false)) />
            <Act words="Set aside" on_press=move |()| tell(Truth::aside(1, "/garden")) />
            <Act words="No signal" on_press=move |()| tell(Truth::no_signal("Thu 18:20")) />
        </Acts>
    }
}

#[component]
fn SampleLines() -> impl IntoView {
    let toasts = use_toasts();
    let chosen = RwSignal::new("all");
    let filters = vec![
        Filter::new("all", "All").counting(12),
        Filter::new("mine", "Mine").counting(3),
        Filter::new("week", "This week").counting(5),
        Filter::new("open", "Needs people").counting(4),
    ];
    let claim = move |()| toasts.say_with_undo("You hold a place on B1.", || page::note("undone"));
    view! {
        <Filters label="Which tasks" filters=filters chosen=chosen />
        <Heading text="Mine" />
        <Lines>
            <Line
                bed="C4"
                what="Hoe between the bean rows"
                small="Thu, before the rain · 30 min"
                mine=true
                href="/task/1"
            >
                <Tag word="waiting" kind=TagKind::Wait />
            </Line>
            <Line bed="N side" what="Set corner posts, north side" small="Sat 09:00 · bring gloves" mine=true>
                "2 h"
                <small>"of 6 h due"</small>
            </Line>
            <Line bed="A2" what="Pick summer squash" small="Wed and Fri" done=true>
                <Tag word="done" kind=TagKind::Done />
            </Line>
        </Lines>
        <Heading text="Still needs people" />
        <Lines>
            <Line bed="B1" what="Spread compost, 1.2 cu yd" small="6 barrows · Sat" href="/task/2">
                <Places total=4usize held=2usize mine=true />
                <small>"2 of 4"</small>
            </Line>
            <Line bed="D3" what="Look under squash leaves for egg clusters" small="10 plants · by Fri">
                <Places total=1usize held=1usize standing_by=2usize />
                <small>"2 stand by"</small>
            </Line>
            <Line bed="B2" what="Mulch the paths" href="/task/3">
                <Act words="Claim" on_press=claim />
            </Line>
        </Lines>
        <Note kind=NoteKind::Mind lead="Manure on B2.">
            "Lettuce there may be picked from 30 June; cooked or not, keep the date."
        </Note>
        <Note kind=NoteKind::Stop lead="Refused.">"The places on D3 are taken; you stand by as second."</Note>
        <Note kind=NoteKind::Done>"The order is closed, and everybody's share is settled."</Note>
        <Note>"Names, not faces: the list says what the plan shows."</Note>
    }
}

#[component]
fn SampleShares() -> impl IntoView {
    let heads = ["Member", "sq ft", "lb", "pays"]
        .map(ToOwned::to_owned)
        .to_vec();
    let rows = vec![
        FigureRow::new(["Ines · A1 A2", "384", "28.8", "$4.60"]),
        FigureRow::new(["You · C4", "360", "27.0", "$4.31"]).mine(),
        FigureRow::new(["Tomasz · B1 B2 B3", "900", "67.5", "$10.78"]),
        FigureRow::new(["Garden, common beds", "6,356", "476.7", "$76.15"]),
    ];
    let whole = vec![FigureRow::new(["Whole", "8,000", "600.0", "$95.84"])];
    let answer = Reckoning::new(
        (),
        Source::published("Rate from the soil test of 14 February"),
    )
    .step(Step::new(
        "Rate, 75 lb per 1000 sq ft at CCE 100 %",
        "0.075 lb/sq ft",
    ))
    .step(Step::new("Area of C4, 12 ft × 30 ft", "360 sq ft"))
    .step(Step::new("Lime for C4", "27.0 lb"))
    .step(Step::new("Price of 27.0 lb of 600 lb at $83.84", "$3.77"))
    .step(Step::new("Delivery $12.00 by weight", "$0.54"))
    .step(Step::sum("You pay", "$4.31"))
    .rounded("Rounded by largest remainder: the whole comes to $95.84 exactly.")
    .caution(Caution::LimeDust);
    view! {
        <Heading text="Shares" />
        <Figures caption="Ground limestone, 12 bags of 50 lb" heads=heads rows=rows whole=whole />
        <Working title="Working for C4" of=WorkingText::from(&answer) open=true />
    }
}

#[component]
fn SampleForm() -> impl IntoView {
    let [name, amount, day, unit, words] = std::array::from_fn(|_| RwSignal::new(String::new()));
    let agreed = RwSignal::new(false);
    let wrong = Signal::derive(move || {
        (amount.read().as_str() == "twelve").then(|| {
            "Amount: a number with its unit was expected, such as 12 ft; twelve came.".to_owned()
        })
    });
    amount.set("twelve".to_owned());
    unit.set("us".to_owned());
    let toasts = use_toasts();
    let leaf = RwSignal::new("new");
    let units = vec![
        Choice::new("metric", "Metres and kilograms"),
        Choice::new("us", "Feet and pounds"),
    ];
    view! {
        <Heading text="A form" />
        <Tabs id="sample" label="Forms" leaves=vec![("new", "New bed"), ("old", "Earlier")] chosen=leaf />
        <TabPanel tabs="sample" leaf="new" chosen=leaf>
            <Form on_send=move |()| toasts.say("Saved on this phone.")>
                <TextField label="Label" value=name help="Short, as on the peg: A1, N side." />
                <div class="pair">
                    <AmountField label="Width" value=amount unit="ft" error=wrong />
                    <DateField label="From" value=day />
                </div>
                <SelectField label="Units" value=unit choices=units />
                <NoteField label="Note" value=words help="Everybody in the garden can read it." />
                <CheckField label="A common bed, held by nobody" value=agreed help="The garden pays its share." />
                <SendButton words="Add the bed" />
            </Form>
        </TabPanel>
        <TabPanel tabs="sample" leaf="old" chosen=leaf>
            <Empty lead="No earlier beds" />
        </TabPanel>
    }
}

#[component]
fn SampleSheets() -> impl IntoView {
    let (sheet, question) = (RwSignal::new(false), RwSignal::new(false));
    let toasts = use_toasts();
    view! {
        <Act words="Close and share out" kind=ActKind::Main wide=true on_press=move |()| question.set(true) />
        <Act words="Open a sheet" wide=true on_press=move |()| sheet.set(true) />
        <Act
            words="Lock the bed plan"
            wide=true
            on_press=|()| ()
            refused=Some("Only a coordinator can lock the plan.".to_owned())
        />
        <Sheet open=sheet title="Spread compost on B1">
            <Lines>
                <Line what="Ines" small="first, since Tuesday" />
                <Line what="You" mine=true small="second" />
            </Lines>
            <Act words="Give my place back" kind=ActKind::Grave wide=true on_press=move |()| sheet.set(false) />
        </Sheet>
        <Confirm
            open=question
            question="Close this order?"
            follows="Areas and rates are frozen, and each of 5 members owes the share shown. A mistake is put right by a further entry."
            yes="Close the order"
            on_yes=move |()| toasts.say("The order is closed.")
        />
    }
}
