//! The client's files, embedded in the program by `build.rs`: one file to copy, and the right client for each service.

use actix_web::http::Method;
use actix_web::http::header::{
    ACCEPT_ENCODING, ALLOW, CACHE_CONTROL, CONTENT_ENCODING, CONTENT_TYPE, HeaderMap, VARY,
};
use actix_web::{HttpRequest, HttpResponse};

/// One file of the client.
struct File {
    /// Its path, without a slash in front.
    path: &'static str,
    bytes: &'static [u8],
    brotli: Option<&'static [u8]>,
    gzip: Option<&'static [u8]>,
}

include!(concat!(env!("OUT_DIR"), "/client_files.rs"));

/// The page that every screen starts from.
const INDEX: &str = "index.html";

/// Named after its content, so it never changes.
const IMMUTABLE: &str = "public, max-age=31536000, immutable";
/// Asked about each time: what the others hang on.
const ASK_EACH_TIME: &str = "no-cache";

const NOT_BUILT_IN: &str = "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><title>Selion</title>\
    <h1>Selion</h1><p>The service runs, but its screens are not built in. Build them with <code>cargo xtask web</code>, \
    then build this program again with the environment variable <code>SELION_WEB_DIR</code> set to the absolute path \
    of <code>target/web/dist</code>; or start everything with <code>cargo xtask run</code>.</p></html>";

/// A file of the client; a path of a screen gets the page, which finds the screen itself.
pub(super) async fn serve(request: HttpRequest) -> HttpResponse {
    if request.method() != Method::GET && request.method() != Method::HEAD {
        return HttpResponse::MethodNotAllowed()
            .insert_header((ALLOW, "GET, HEAD"))
            .finish();
    }
    let path = request.path().trim_start_matches('/');
    let file = find(path).or_else(|| if is_screen(path) { find(INDEX) } else { None });
    match file {
        Some(file) => answer(file, request.headers()),
        None if FILES.is_empty() && is_screen(path) => HttpResponse::Ok()
            .insert_header((CONTENT_TYPE, "text/html; charset=utf-8"))
            .body(NOT_BUILT_IN),
        None => HttpResponse::NotFound()
            .insert_header((CONTENT_TYPE, "text/plain; charset=utf-8"))
            .body("Not found."),
    }
}

fn find(path: &str) -> Option<&'static File> {
    FILES.iter().find(|file| file.path == path)
}

/// Screens' paths have no dot in their last part; files' have.
fn is_screen(path: &str) -> bool {
    !path.rsplit('/').next().unwrap_or_default().contains('.')
}

fn answer(file: &'static File, headers: &HeaderMap) -> HttpResponse {
    let mut answer = HttpResponse::Ok();
    answer.insert_header((CONTENT_TYPE, content_type(file.path)));
    answer.insert_header((
        CACHE_CONTROL,
        if has_hash(file.path) {
            IMMUTABLE
        } else {
            ASK_EACH_TIME
        },
    ));
    answer.insert_header((VARY, "accept-encoding"));
    let accepted = headers
        .get(ACCEPT_ENCODING)
        .and_then(|value| value.to_str().ok())
        .unwrap_or_default();
    let (encoding, bytes) = best_form(file, accepted);
    if let Some(encoding) = encoding {
        answer.insert_header((CONTENT_ENCODING, encoding));
    }
    answer.body(bytes)
}

/// The smallest form that the other side takes.
fn best_form(file: &'static File, accepted: &str) -> (Option<&'static str>, &'static [u8]) {
    let takes = |wanted: &str| {
        accepted.split(',').any(|entry| {
            let mut parts = entry.split(';').map(str::trim);
            let named = parts.next() == Some(wanted);
            // RFC 9110 section 12.4.2: a weight of zero means "not acceptable".
            named
                && !parts.any(|part| {
                    part.strip_prefix("q=")
                        .is_some_and(|weight| weight.parse() == Ok(0.0_f32))
                })
        })
    };
    match (file.brotli, file.gzip) {
        (Some(bytes), _) if takes("br") => (Some("br"), bytes),
        (_, Some(bytes)) if takes("gzip") => (Some("gzip"), bytes),
        _ => (None, file.bytes),
    }
}

fn content_type(path: &str) -> String {
    if path.ends_with(".webmanifest") {
        return "application/manifest+json".to_owned();
    }
    let guess = mime_guess::from_path(path).first_or_octet_stream();
    if guess.type_() == mime_guess::mime::TEXT {
        format!("{guess}; charset=utf-8")
    } else {
        guess.to_string()
    }
}

/// Whether a file's path carries the hash of its content: `name-0123456789abcdef.ext`, eight hex digits or more, or a
/// folder of such a name.
fn has_hash(path: &str) -> bool {
    path.split('/').any(|name| {
        let stem = name.split('.').next().unwrap_or_default();
        let hash = stem.rsplit(['-', '_']).next().unwrap_or_default();
        stem.len() > hash.len() && hash.len() >= 8 && hash.chars().all(|c| c.is_ascii_hexdigit())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    static SCRIPT: File = File {
        path: "app-0123abcd.js",
        bytes: b"plain",
        brotli: Some(b"br"),
        gzip: Some(b"gz"),
    };

    #[test]
    fn the_smallest_accepted_form_is_sent() {
        assert_eq!(
            best_form(&SCRIPT, "gzip, deflate, br"),
            (Some("br"), &b"br"[..])
        );
        assert_eq!(
            best_form(&SCRIPT, "gzip;q=0.5, br;q=0"),
            (Some("gzip"), &b"gz"[..])
        );
        assert_eq!(best_form(&SCRIPT, "identity"), (None, &b"plain"[..]));
    }

    #[test]
    fn only_names_with_a_hash_are_kept_for_good() {
        assert!(has_hash("app-0123abcd.js") && has_hash("assets/app_bg-00ff00ff00ff.wasm"));
        assert!(has_hash("assets/program-0123456789abcdef/app.js"));
        for name in [
            "index.html",
            "service_worker.js",
            "deadbeef.js",
            "week-plan.css",
        ] {
            assert!(!has_hash(name), "{name}");
        }
    }

    #[test]
    fn screens_and_files_are_told_apart() {
        assert!(
            is_screen("")
                && is_screen("week")
                && is_screen("bed/0199f0aa-0000-7000-8000-000000000000")
        );
        assert!(!is_screen("favicon.ico") && !is_screen("assets/app.js"));
    }

    #[test]
    fn types_are_those_browsers_ask_for() {
        assert_eq!(content_type("a.wasm"), "application/wasm");
        assert_eq!(
            content_type("manifest.webmanifest"),
            "application/manifest+json"
        );
        assert_eq!(content_type("index.html"), "text/html; charset=utf-8");
    }
}
