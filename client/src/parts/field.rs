//! Fields to fill in: label above, help below it, the error beside what is wrong, all tied together for screen readers.

use leptos::prelude::*;

use super::fresh_id;

/// What a select field offers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// What is stored.
    pub key: String,
    /// What is read.
    pub name: String,
}

impl Choice {
    /// A choice.
    pub fn new(key: impl Into<String>, name: impl Into<String>) -> Self {
        Self {
            key: key.into(),
            name: name.into(),
        }
    }
}

/// Fields below one another. Enter and the button at the end both send it.
#[component]
pub fn Form(
    /// What happens when it is sent.
    #[prop(into)]
    on_send: Callback<()>,
    /// The fields and, last, a button of type `submit` made with [`SendButton`].
    children: Children,
) -> impl IntoView {
    let send = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        on_send.run(());
    };
    view! {
        <form class="form" novalidate=true on:submit=send>
            {children()}
        </form>
    }
}

/// The button that sends a form.
#[component]
pub fn SendButton(
    /// What it says, a verb first.
    #[prop(into)]
    words: Signal<String>,
    /// Whether it is on its way; the button then waits.
    #[prop(into, optional)]
    busy: Signal<bool>,
) -> impl IntoView {
    view! {
        <button type="submit" class="act main" disabled=move || busy.get()>
            {move || words.get()}
        </button>
    }
}

/// The ids that tie a field's pieces together.
#[derive(Clone)]
struct Ties {
    input: String,
    help: String,
    error: String,
}

impl Ties {
    fn new() -> Self {
        let input = fresh_id("field");
        Self {
            help: format!("{input}-help"),
            error: format!("{input}-error"),
            input,
        }
    }

    /// What describes the input: its help, and its error while it has one.
    fn described_by(
        &self,
        help: Signal<String>,
        error: Signal<Option<String>>,
    ) -> impl Fn() -> Option<String> + Send + Sync + 'static + use<> {
        let ties = self.clone();
        move || {
            let help = (!help.read().is_empty()).then_some(ties.help.as_str());
            let error = error.read().is_some().then_some(ties.error.as_str());
            let both: Vec<&str> = help.into_iter().chain(error).collect();
            (!both.is_empty()).then(|| both.join(" "))
        }
    }
}

// Label, help, the input itself and the error, in the order they are read.
fn laid_out(
    ties: Ties,
    label: Signal<String>,
    help: Signal<String>,
    error: Signal<Option<String>>,
    input: impl IntoView,
) -> impl IntoView {
    let Ties {
        input: input_id,
        help: help_id,
        error: error_id,
    } = ties;
    view! {
        <div class="field">
            <label for=input_id>{move || label.get()}</label>
            {helped(help_id, help)}
            {input}
            {told(error_id, error)}
        </div>
    }
}

fn helped(id: String, help: Signal<String>) -> impl IntoView {
    move || {
        (!help.read().is_empty()).then(|| view! { <p class="help" id=id.clone()>{help.get()}</p> })
    }
}

fn told(id: String, error: Signal<Option<String>>) -> impl IntoView {
    move || {
        let id = id.clone();
        error
            .get()
            .map(|words| view! { <p class="error" id=id role="alert">{words}</p> })
    }
}

fn invalid(
    error: Signal<Option<String>>,
) -> impl Fn() -> Option<&'static str> + Send + Sync + 'static {
    move || error.read().is_some().then_some("true")
}

/// A line of text.
#[component]
pub fn TextField(
    /// What is asked for.
    #[prop(into)]
    label: Signal<String>,
    /// What has been typed.
    value: RwSignal<String>,
    /// A sentence of help.
    #[prop(into, optional)]
    help: Signal<String>,
    /// What is wrong with it, in a sentence.
    #[prop(into, optional)]
    error: Signal<Option<String>>,
    /// `text`, `password`, `search` or `url`.
    #[prop(default = "text")]
    kind: &'static str,
    /// What the browser may fill in, such as `name` or `username`; nothing unless it is said.
    #[prop(default = "off")]
    autocomplete: &'static str,
) -> impl IntoView {
    let ties = Ties::new();
    let input = view! {
        <input
            type=kind
            id=ties.input.clone()
            autocomplete=autocomplete
            bind:value=value
            aria-describedby=ties.described_by(help, error)
            aria-invalid=invalid(error)
        />
    };
    laid_out(ties, label, help, error, input)
}

/// An amount with its unit. The person may type another unit; reading it is core's.
#[component]
pub fn AmountField(
    /// What is asked for.
    #[prop(into)]
    label: Signal<String>,
    /// What has been typed.
    value: RwSignal<String>,
    /// The unit that is meant when none is typed.
    #[prop(into)]
    unit: Signal<String>,
    /// A sentence of help, such as "12 ft 6 in is fine".
    #[prop(into, optional)]
    help: Signal<String>,
    /// What is wrong with it, in a sentence.
    #[prop(into, optional)]
    error: Signal<Option<String>>,
) -> impl IntoView {
    let ties = Ties::new();
    let spoken = move || format!("{}, in {}", label.get(), unit.get());
    let input = view! {
        <div class="with-unit">
            <input
                type="text"
                inputmode="decimal"
                id=ties.input.clone()
                autocomplete="off"
                bind:value=value
                aria-label=spoken
                aria-describedby=ties.described_by(help, error)
                aria-invalid=invalid(error)
            />
            <span class="unit" aria-hidden="true">
                {move || unit.get()}
            </span>
        </div>
    };
    laid_out(ties, label, help, error, input)
}

/// A day, as `2026-03-14`; the browser shows it as the phone is used to.
#[component]
pub fn DateField(
    /// What is asked for.
    #[prop(into)]
    label: Signal<String>,
    /// The day, or nothing.
    value: RwSignal<String>,
    /// A sentence of help.
    #[prop(into, optional)]
    help: Signal<String>,
    /// What is wrong with it, in a sentence.
    #[prop(into, optional)]
    error: Signal<Option<String>>,
) -> impl IntoView {
    let ties = Ties::new();
    let input = view! {
        <input
            type="date"
            id=ties.input.clone()
            bind:value=value
            aria-describedby=ties.described_by(help, error)
            aria-invalid=invalid(error)
        />
    };
    laid_out(ties, label, help, error, input)
}

/// One of several.
#[component]
pub fn SelectField(
    /// What is asked for.
    #[prop(into)]
    label: Signal<String>,
    /// The key of the chosen one.
    value: RwSignal<String>,
    /// What there is to choose from.
    #[prop(into)]
    choices: Signal<Vec<Choice>>,
    /// A sentence of help.
    #[prop(into, optional)]
    help: Signal<String>,
    /// What is wrong with it, in a sentence.
    #[prop(into, optional)]
    error: Signal<Option<String>>,
) -> impl IntoView {
    let ties = Ties::new();
    let options = move || {
        let option = |Choice { key, name }| {
            let is_chosen = value.get() == key;
            view! { <option value=key selected=is_chosen>{name}</option> }
        };
        choices.get().into_iter().map(option).collect_view()
    };
    let input = view! {
        <select
            id=ties.input.clone()
            on:change:target=move |event| value.set(event.target().value())
            aria-describedby=ties.described_by(help, error)
            aria-invalid=invalid(error)
        >
            {options}
        </select>
    };
    laid_out(ties, label, help, error, input)
}

/// Free words, several lines.
#[component]
pub fn NoteField(
    /// What is asked for.
    #[prop(into)]
    label: Signal<String>,
    /// What has been typed.
    value: RwSignal<String>,
    /// A sentence of help.
    #[prop(into, optional)]
    help: Signal<String>,
    /// What is wrong with it, in a sentence.
    #[prop(into, optional)]
    error: Signal<Option<String>>,
) -> impl IntoView {
    let ties = Ties::new();
    let input = view! {
        <textarea
            id=ties.input.clone()
            rows="3"
            bind:value=value
            aria-describedby=ties.described_by(help, error)
            aria-invalid=invalid(error)
        ></textarea>
    };
    laid_out(ties, label, help, error, input)
}

/// Yes or no.
#[component]
pub fn CheckField(
    /// What is agreed to.
    #[prop(into)]
    label: Signal<String>,
    /// Whether it is.
    value: RwSignal<bool>,
    /// A sentence of help.
    #[prop(into, optional)]
    help: Signal<String>,
    /// What is wrong with it, in a sentence.
    #[prop(into, optional)]
    error: Signal<Option<String>>,
) -> impl IntoView {
    let ties = Ties::new();
    let (help_id, error_id) = (ties.help.clone(), ties.error.clone());
    view! {
        <div class="field check">
            <input
                type="checkbox"
                id=ties.input.clone()
                bind:checked=value
                aria-describedby=ties.described_by(help, error)
                aria-invalid=invalid(error)
            />
            <label for=ties.input.clone()>{move || label.get()}</label>
            {helped(help_id, help)}
            {told(error_id, error)}
        </div>
    }
}
