//! Keeping what is chosen in a list in view.

use wasm_bindgen::JsCast;
use web_sys::HtmlElement;

/// Scrolls the list that the element with this id stands in, as far as it takes to see the element; the page stays.
pub fn into_view(id: &str) {
    let page = web_sys::window().and_then(|window| window.document());
    let element = page.and_then(|page| page.get_element_by_id(id)?.dyn_into::<HtmlElement>().ok());
    let Some((element, list)) = element.and_then(|it| Some((it.clone(), it.parent_element()?)))
    else {
        return;
    };
    let (top, height) = (element.offset_top(), element.offset_height());
    if top < list.scroll_top() {
        list.set_scroll_top(top);
    } else if top + height > list.scroll_top() + list.client_height() {
        list.set_scroll_top(top + height - list.client_height());
    }
}
