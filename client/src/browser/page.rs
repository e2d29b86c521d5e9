//! The page itself: whether it is seen, its address, its theme, what it shares and prints.

use js_sys::Reflect;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    Event, FocusOptions, HtmlDialogElement, HtmlElement, HtmlInputElement, MouseEvent, ShareData,
    VisibilityState,
};

use super::{Listener, Trouble, document, mirror, name_of, thrown, window, words_of};

/// How the page looks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Theme {
    /// As the phone is set: paper by day, dusk when dark, sun when more contrast is asked for.
    #[default]
    Phone,
    /// Paper and ink.
    Paper,
    /// Black on white, for full sun.
    Sun,
    /// Dark.
    Dusk,
}

impl Theme {
    /// All of them, in the order to offer them.
    pub const ALL: [Self; 4] = [Self::Phone, Self::Paper, Self::Sun, Self::Dusk];

    const fn attribute(self) -> Option<&'static str> {
        match self {
            Self::Phone => None,
            Self::Paper => Some("paper"),
            Self::Sun => Some("sun"),
            Self::Dusk => Some("dusk"),
        }
    }

    /// What to call it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Phone => "As the phone is set",
            Self::Paper => "Paper",
            Self::Sun => "Full sun",
            Self::Dusk => "Dusk",
        }
    }
}

// Also read by bootstrap.js, before the first paint.
const THEME_KEY: &str = "selion.theme";

/// The theme in use.
pub fn theme() -> Theme {
    let chosen = document()
        .ok()
        .and_then(|page| page.document_element()?.get_attribute("data-theme"));
    Theme::ALL
        .into_iter()
        .find(|theme| theme.attribute() == chosen.as_deref())
        .unwrap_or_default()
}

/// Changes the theme, now and for the next start.
pub fn set_theme(theme: Theme) -> Result<(), Trouble> {
    let root = document()?
        .document_element()
        .ok_or(Trouble::Missing("a page"))?;
    let storage = mirror::storage();
    if let Some(name) = theme.attribute() {
        root.set_attribute("data-theme", name).map_err(thrown)?;
        storage?.set_item(THEME_KEY, name).map_err(thrown)
    } else {
        root.remove_attribute("data-theme").map_err(thrown)?;
        storage?.remove_item(THEME_KEY).map_err(thrown)
    }
}

/// Whether somebody can see the page.
pub fn is_visible() -> bool {
    document().is_ok_and(|page| page.visibility_state() == VisibilityState::Visible)
}

/// Tells whenever the page comes into sight or goes.
pub fn on_visible(mut tell: impl FnMut(bool) + 'static) -> Result<Listener, Trouble> {
    let page = document()?;
    Listener::on(
        &page,
        "visibilitychange",
        move |_: Event| tell(is_visible()),
    )
}

/// Whether the phone believes it has a connection. `true` promises nothing, `false` is certain.
pub fn is_online() -> bool {
    window().is_ok_and(|window| window.navigator().on_line())
}

/// Tells whenever the phone gets a connection or loses it.
pub fn on_online(tell: impl FnMut(bool) + 'static) -> Result<[Listener; 2], Trouble> {
    let tell = std::rc::Rc::new(std::cell::RefCell::new(tell));
    let other = std::rc::Rc::clone(&tell);
    let window = window()?;
    Ok([
        Listener::on(&window, "online", move |_: Event| (tell.borrow_mut())(true))?,
        Listener::on(&window, "offline", move |_: Event| {
            (other.borrow_mut())(false);
        })?,
    ])
}

/// Scheme, host and port, such as `https://garden.example`.
pub fn origin() -> Result<String, Trouble> {
    window()?.location().origin().map_err(thrown)
}

/// The path of the address.
pub fn path() -> String {
    window()
        .and_then(|window| window.location().pathname().map_err(thrown))
        .unwrap_or_default()
}

/// What stands behind the `#` of the address, if anything.
pub fn fragment() -> Option<String> {
    let hash = window().ok()?.location().hash().ok()?;
    hash.strip_prefix('#')
        .filter(|text| !text.is_empty())
        .map(ToOwned::to_owned)
}

/// Takes the fragment out of the address and the history, so that a secret is not left lying there.
pub fn clear_fragment() -> Result<(), Trouble> {
    let window = window()?;
    let location = window.location();
    let bare = format!(
        "{}{}",
        location.pathname().map_err(thrown)?,
        location.search().map_err(thrown)?
    );
    let history = window.history().map_err(thrown)?;
    let state = history.state().map_err(thrown)?;
    history
        .replace_state_with_url(&state, "", Some(&bare))
        .map_err(thrown)
}

/// Whether [`share`] can be offered.
pub fn can_share() -> bool {
    window().is_ok_and(|window| Reflect::has(&window.navigator(), &"share".into()).unwrap_or(false))
}

/// Opens the phone's own sheet for sending a link to somebody.
pub async fn share(title: &str, text: &str, link: &str) -> Result<(), Trouble> {
    if !can_share() {
        return Err(Trouble::Missing("sharing"));
    }
    let data = ShareData::new();
    data.set_title(title);
    data.set_text(text);
    data.set_url(link);
    match JsFuture::from(window()?.navigator().share_with_data(&data)).await {
        Ok(_) => Ok(()),
        Err(error) if name_of(&error) == "AbortError" => Err(Trouble::Declined),
        Err(error) => Err(thrown(error)),
    }
}

/// Puts a text on the clipboard.
pub async fn copy(text: &str) -> Result<(), Trouble> {
    let navigator = window()?.navigator();
    // Absent on pages that came without encryption.
    if Reflect::get(&navigator, &"clipboard".into())
        .map_err(thrown)?
        .is_undefined()
    {
        return Err(Trouble::Missing("the clipboard"));
    }
    JsFuture::from(navigator.clipboard().write_text(text))
        .await
        .map_err(thrown)?;
    Ok(())
}

/// Opens the print dialog.
pub fn print() -> Result<(), Trouble> {
    window()?.print().map_err(thrown)
}

/// Names the page in the window's title.
pub fn set_title(title: &str) {
    if let Ok(page) = document() {
        page.set_title(title);
    }
}

/// Moves the focus to the element with this id, if there is one.
pub fn focus(id: &str) {
    let element = document()
        .ok()
        .and_then(|page| page.get_element_by_id(id)?.dyn_into::<HtmlElement>().ok());
    if let Some(element) = element {
        // Focus that fails leaves the page usable; there is nobody to tell.
        let _ = element.focus();
    }
}

/// Moves the focus without moving the page: when what had the focus went away under it.
pub fn focus_in_place(id: &str) {
    let element = document().ok().and_then(|page| page.get_element_by_id(id));
    if let Some(element) = element {
        // What stands in a drawing is no `HtmlElement`, but takes the focus in the same way.
        let element: HtmlElement = element.unchecked_into();
        let options = FocusOptions::new();
        options.set_prevent_scroll(true);
        // Focus that fails leaves the page usable; there is nobody to tell.
        let _ = element.focus_with_options(&options);
    }
}

/// Opens the dialog with this id over the page, or closes it.
pub fn show_dialog(id: &str, open: bool) {
    let Some(dialog) = dialog(id) else { return };
    if open && !dialog.open() {
        // It cannot be shown only while the page is being taken down.
        let _ = dialog.show_modal();
    } else if !open {
        dialog.close();
    }
}

/// Whether a touch was beside the dialog with this id, on the page behind it.
pub fn is_beside_dialog(id: &str, touch: &MouseEvent) -> bool {
    let (x, y) = (f64::from(touch.client_x()), f64::from(touch.client_y()));
    dialog(id).is_some_and(|dialog| {
        // A touch on what the dialog holds has that as its target, one beside it has the dialog itself.
        let edge = dialog.get_bounding_client_rect();
        touch.target().as_ref() == Some(dialog.as_ref())
            && (x < edge.left() || x > edge.right() || y < edge.top() || y > edge.bottom())
    })
}

fn dialog(id: &str) -> Option<HtmlDialogElement> {
    document().ok()?.get_element_by_id(id)?.dyn_into().ok()
}

/// Scrolls to the top.
pub fn to_top() {
    if let Ok(window) = window() {
        window.scroll_to_with_x_and_y(0.0, 0.0);
    }
}

/// Leaves for another address of the program, which is started anew there.
pub fn go_to(path: &str) -> Result<(), Trouble> {
    window()?.location().assign(path).map_err(thrown)
}

/// Offers a text to be saved as a file of this name.
pub fn save_as_file(name: &str, text: &str) -> Result<(), Trouble> {
    let coded = String::from(js_sys::encode_uri_component(text));
    let link = document()?.create_element("a").map_err(thrown)?;
    link.set_attribute(
        "href",
        &format!("data:application/json;charset=utf-8,{coded}"),
    )
    .map_err(thrown)?;
    link.set_attribute("download", name).map_err(thrown)?;
    link.dyn_into::<HtmlElement>()
        .map_err(|_other_element| Trouble::Missing("files to save"))?
        .click();
    Ok(())
}

/// The text of the file that was chosen in a field for files, if one was; at most so many bytes of it are read.
pub async fn chosen_text(event: &Event, most: usize) -> Result<Option<String>, Trouble> {
    let input = event.target().and_then(|target| target.dyn_into().ok());
    let input: HtmlInputElement = input.ok_or(Trouble::Missing("files to choose"))?;
    let Some(file) = input.files().and_then(|files| files.get(0)) else {
        return Ok(None);
    };
    let most = u32::try_from(most).map_or(f64::MAX, f64::from);
    if file.size() > most {
        return Err(Trouble::Missing("room for so long a file"));
    }
    let text = JsFuture::from(file.text()).await.map_err(thrown)?;
    Ok(text.as_string())
}

/// What kind of device this is, as far as the browser tells; a name to begin with.
pub fn kind_of_device() -> &'static str {
    let agent = window()
        .and_then(|window| window.navigator().user_agent().map_err(thrown))
        .unwrap_or_default();
    let known = [
        ("iPhone", "iPhone"),
        ("iPad", "iPad"),
        ("Android", "Android phone"),
        ("Windows", "Windows computer"),
        ("Macintosh", "Mac"),
        ("Linux", "Linux computer"),
    ];
    known
        .into_iter()
        .find(|(sign, _)| agent.contains(sign))
        .map_or("My phone", |(_, name)| name)
}

/// Loads the page anew.
pub fn reload() {
    if let Ok(window) = window() {
        // A page that cannot be reloaded stays as it is.
        let _ = window.location().reload();
    }
}

/// Asks the browser not to clear our data when the phone runs short of room. The answer is its own.
pub async fn ask_to_keep_data() -> Result<bool, Trouble> {
    let storage = window()?.navigator().storage();
    if !Reflect::has(&storage, &"persist".into()).unwrap_or(false) {
        return Ok(false);
    }
    let answer = JsFuture::from(storage.persist().map_err(thrown)?)
        .await
        .map_err(thrown)?;
    Ok(answer.is_truthy())
}

/// Whether the page runs installed on the home screen.
pub fn is_installed() -> bool {
    let standalone = |window: web_sys::Window| {
        let asked = window
            .match_media("(display-mode: standalone)")
            .ok()
            .flatten();
        asked.is_some_and(|answer| answer.matches())
    };
    window().is_ok_and(standalone)
}

/// Leaves a word in the browser's console, for the person who looks after the server.
pub fn note(text: &str) {
    web_sys::console::warn_1(&text.into());
}

/// Leaves a trouble's words in the console when nothing better can be done about it.
pub fn note_trouble<T>(result: Result<T, Trouble>) {
    if let Err(trouble) = result {
        note(&trouble.to_string());
    }
}

/// Puts a sentence above everything else, when the program can no longer draw.
pub(super) fn show_plainly(sentence: &str) {
    let shown = document().and_then(|page| {
        let body = page.body().ok_or(Trouble::Missing("a page"))?;
        let line = page.create_element("p").map_err(thrown)?;
        line.set_attribute("role", "alert").map_err(thrown)?;
        line.set_attribute("class", "note stop").map_err(thrown)?;
        line.set_text_content(Some(sentence));
        body.prepend_with_node_1(&line)
            .map_err(|error| Trouble::Browser(words_of(&error)))
    });
    note_trouble(shown);
}
