//! A photo taken in by the browser: decoded, shrunk on a canvas and written anew; sent, fetched, and shown from its bytes.
//!
//! Written anew, it holds its dots and nothing else: where and when it was taken, and with which phone, stays behind.

use js_sys::{Array, Function, Object, Promise, Reflect, Uint8Array};
use leptos::ev::Event;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Headers, RequestCache, RequestCredentials, RequestInit, Response};

use super::{Trouble, thrown, window};

/// How sharply it is written, from the best that is tried; the first that fits is kept.
const SHARPNESS: [f64; 4] = [0.85, 0.7, 0.5, 0.35];

/// A photo as it is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shrunk {
    /// The file, a JPEG.
    pub bytes: Vec<u8>,
    /// How many dots it is wide.
    pub wide: i64,
    /// How many dots it is high.
    pub high: i64,
}

/// The file that was chosen in a field, if one was.
pub fn chosen(event: &Event) -> Option<JsValue> {
    let field = event.target()?;
    let files = Reflect::get(&field, &"files".into()).ok()?;
    let file = Reflect::get_u32(&files, 0).ok()?;
    // The same file can be chosen once more.
    let _emptied = Reflect::set(&field, &"value".into(), &"".into());
    (!file.is_undefined() && !file.is_null()).then_some(file)
}

/// The photo in a file with its longer side no longer than so many dots, in no more than so many bytes.
pub async fn shrunk(file: &JsValue, side: f64, most_bytes: usize) -> Result<Shrunk, Trouble> {
    let global: JsValue = js_sys::global().into();
    let decoded = call(&global, "createImageBitmap", std::slice::from_ref(file))?;
    let Ok(picture) = awaited(&decoded).await else {
        return Err(Trouble::Browser(
            "this file is no picture that it can read. A JPEG, PNG or WebP file is expected."
                .into(),
        ));
    };
    let (wide, high) = (number(&picture, "width")?, number(&picture, "height")?);
    let factor = (side / wide.max(high).max(1.0)).min(1.0);
    let [wide, high] = [wide, high].map(|dots| (dots * factor).round().max(1.0));
    let canvas: Function = get(&global, "OffscreenCanvas")?
        .dyn_into()
        .map_err(|_none| Trouble::Missing("a canvas for pictures"))?;
    let canvas =
        Reflect::construct(&canvas, &Array::of2(&wide.into(), &high.into())).map_err(thrown)?;
    let sheet = call(&canvas, "getContext", &["2d".into()])?;
    call(
        &sheet,
        "drawImage",
        &[picture, 0.into(), 0.into(), wide.into(), high.into()],
    )?;
    for sharpness in SHARPNESS {
        let how = Object::new();
        set(&how, "type", &"image/jpeg".into())?;
        set(&how, "quality", &sharpness.into())?;
        let blob = awaited(&call(&canvas, "convertToBlob", &[how.into()])?).await?;
        let bytes = bytes_of(&blob).await?;
        if bytes.len() <= most_bytes {
            return Ok(Shrunk {
                bytes,
                wide: whole(wide),
                high: whole(high),
            });
        }
    }
    Err(Trouble::Browser(
        "this picture stays too large however it is written; choose a smaller one.".into(),
    ))
}

/// An address on this page under which the bytes can be shown, until [`forget`] takes it back.
pub fn address_of(bytes: &[u8]) -> Result<String, Trouble> {
    let global: JsValue = js_sys::global().into();
    let blob: Function = get(&global, "Blob")?
        .dyn_into()
        .map_err(|_none| Trouble::Missing("files"))?;
    let parts = Array::of1(&Uint8Array::from(bytes));
    let blob = Reflect::construct(&blob, &Array::of1(&parts)).map_err(thrown)?;
    let address = call(&get(&global, "URL")?, "createObjectURL", &[blob])?;
    address.as_string().ok_or(Trouble::Missing("files"))
}

/// Takes such an address back.
pub fn forget(address: &str) {
    let global: JsValue = js_sys::global().into();
    let _taken_back = get(&global, "URL")
        .and_then(|url| call(&url, "revokeObjectURL", &[JsValue::from_str(address)]));
}

/// Sends the bytes to an address of the service.
pub async fn bring(path: &str, token: &str, bytes: &[u8]) -> Result<(), Trouble> {
    let request = RequestInit::new();
    request.set_body(&Uint8Array::from(bytes));
    answered(path, token, "PUT", &request).await.map(|_done| ())
}

/// Fetches the bytes at an address of the service.
pub async fn fetch(path: &str, token: &str) -> Result<Vec<u8>, Trouble> {
    let answer = answered(path, token, "GET", &RequestInit::new()).await?;
    bytes_of(answer.as_ref()).await
}

async fn answered(
    path: &str,
    token: &str,
    method: &str,
    request: &RequestInit,
) -> Result<Response, Trouble> {
    let headers = Headers::new().map_err(thrown)?;
    headers
        .set("authorization", &format!("Bearer {token}"))
        .map_err(thrown)?;
    request.set_method(method);
    request.set_headers(&headers);
    request.set_credentials(RequestCredentials::SameOrigin);
    request.set_cache(RequestCache::NoStore);
    let answer = JsFuture::from(window()?.fetch_with_str_and_init(path, request)).await;
    let answer: Response = answer
        .map_err(|_unreached| Trouble::NoSignal)?
        .dyn_into()
        .map_err(thrown)?;
    if answer.ok() {
        return Ok(answer);
    }
    Err(Trouble::Refused {
        status: answer.status(),
        code: String::new(),
        message: format!(
            "The service did not take or give the picture (status {}).",
            answer.status()
        ),
    })
}

async fn bytes_of(of: &JsValue) -> Result<Vec<u8>, Trouble> {
    let buffer = awaited(&call(of, "arrayBuffer", &[])?).await?;
    Ok(Uint8Array::new(&buffer).to_vec())
}

fn get(of: &JsValue, name: &str) -> Result<JsValue, Trouble> {
    Reflect::get(of, &name.into()).map_err(thrown)
}

fn set(of: &Object, name: &str, value: &JsValue) -> Result<(), Trouble> {
    Reflect::set(of, &name.into(), value)
        .map(|_set| ())
        .map_err(thrown)
}

fn number(of: &JsValue, name: &str) -> Result<f64, Trouble> {
    get(of, name)?
        .as_f64()
        .ok_or(Trouble::Missing("the size of pictures"))
}

fn call(of: &JsValue, name: &str, arguments: &[JsValue]) -> Result<JsValue, Trouble> {
    let function: Function = get(of, name)?
        .dyn_into()
        .map_err(|_none| Trouble::Missing("work on pictures"))?;
    function
        .apply(of, &arguments.iter().collect::<Array>())
        .map_err(thrown)
}

async fn awaited(promise: &JsValue) -> Result<JsValue, Trouble> {
    JsFuture::from(Promise::resolve(promise))
        .await
        .map_err(thrown)
}

#[expect(
    clippy::as_conversions,
    clippy::cast_possible_truncation,
    reason = "no TryFrom exists; a canvas has a few thousand dots"
)]
fn whole(dots: f64) -> i64 {
    dots as i64
}
