//! A file that somebody picked in a field.

use wasm_bindgen::JsCast;
use wasm_bindgen_futures::JsFuture;
use web_sys::{Event, HtmlInputElement};

use super::{Trouble, thrown};

/// Larger files are not read: they would not fit into the memory of an old phone.
const MOST_BYTES: f64 = 32.0 * 1024.0 * 1024.0;

/// The text of the file that a change of the field picked; nothing when none was.
pub async fn text_of(change: &Event) -> Result<Option<String>, Trouble> {
    let field = change
        .target()
        .and_then(|target| target.dyn_into::<HtmlInputElement>().ok())
        .ok_or(Trouble::Missing("the field of the file"))?;
    let Some(file) = field.files().and_then(|files| files.get(0)) else {
        return Ok(None);
    };
    if file.size() > MOST_BYTES {
        return Err(Trouble::Refused {
            status: 413,
            code: "too_large".to_owned(),
            message: "The file is larger than 32 MB; bring in the file of one station.".to_owned(),
        });
    }
    let text = JsFuture::from(file.text()).await.map_err(thrown)?;
    Ok(text.as_string())
}
