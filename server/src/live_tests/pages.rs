//! The client's pages and the headers on everything.

use actix_web::http::{Method, StatusCode};

use super::{Phone, live, read};

#[test]
fn every_answer_carries_the_security_headers() {
    live(|live| async move {
        let stranger = Phone::new(&live);
        for path in ["/", "/week", "/bed/1", "/app.js", "/api/me", "/api/shed"] {
            let answer = stranger.get(path).await;
            let policy = answer.header("content-security-policy").unwrap_or_default();
            assert!(
                policy.starts_with("default-src 'none'; script-src 'self' 'wasm-unsafe-eval';"),
                "{path}: {policy}"
            );
            assert!(!policy.contains("unsafe-inline") && !policy.contains("'unsafe-eval'"));
            assert_eq!(
                answer.header("x-content-type-options"),
                Some("nosniff"),
                "{path}"
            );
            assert_eq!(
                answer.header("referrer-policy"),
                Some("no-referrer"),
                "{path}"
            );
            assert_eq!(
                answer.header("cross-origin-opener-policy"),
                Some("same-origin"),
                "{path}"
            );
            assert!(
                answer
                    .header("permissions-policy")
                    .unwrap()
                    .contains("camera=(self)"),
                "{path}"
            );
            assert_eq!(
                answer.header("strict-transport-security"),
                None,
                "not over plain http"
            );
        }
        assert_eq!(
            stranger.get("/api/me").await.header("cache-control"),
            Some("no-store")
        );
    });
}

#[test]
fn screens_get_a_page_and_missing_files_do_not() {
    live(|live| async move {
        let stranger = Phone::new(&live);
        for screen in [
            "/",
            "/week",
            "/bed/0199f0aa-0000-7000-8000-000000000000",
            "/join",
        ] {
            let answer = stranger.get(screen).await;
            assert_eq!(
                (answer.status, answer.header("content-type")),
                (StatusCode::OK, Some("text/html; charset=utf-8"))
            );
            assert!(answer.text.contains("Selion"));
        }
        assert_eq!(
            stranger.get("/missing.wasm").await.status,
            StatusCode::NOT_FOUND
        );
        let answer = read(stranger.request(Method::PUT, "/week").send().await.unwrap()).await;
        assert_eq!(answer.status, StatusCode::METHOD_NOT_ALLOWED);
    });
}
