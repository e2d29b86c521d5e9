//! The picture under a plan: who may bring one, what is taken for one, and that it is kept.

use actix_web::http::header::ORIGIN;
use actix_web::http::{Method, StatusCode};
use selion_core::document::Role;
use selion_core::document::ids::PictureId;

use super::{Answer, Live, Phone, START, live, read, with_limits};
use crate::chance;
use crate::config::Limits;

/// The first bytes of a JPEG file, and something after them.
fn jpeg(length: usize) -> Vec<u8> {
    let mut bytes = vec![0xFF, 0xD8, 0xFF, 0xE0];
    bytes.extend((0..=255).cycle().take(length));
    bytes
}

fn id() -> PictureId {
    PictureId::fresh(START, chance::bytes())
}

fn path(of: &Phone, picture: PictureId) -> String {
    format!("/api/gardens/{}/pictures/{picture}", of.garden())
}

async fn bring(phone: &Phone, path: &str, bytes: Vec<u8>) -> Answer {
    let request = phone
        .request(Method::PUT, path)
        .insert_header((ORIGIN, phone.base.clone()));
    read(request.send_body(bytes).await.unwrap()).await
}

async fn bytes_at(phone: &Phone, path: &str) -> (StatusCode, Vec<u8>) {
    let mut answer = phone.request(Method::GET, path).send().await.unwrap();
    let status = answer.status();
    (
        status,
        answer.body().limit(4_000_000).await.unwrap().to_vec(),
    )
}

#[test]
fn a_picture_is_kept_for_the_members_of_its_garden_and_nobody_else() {
    live(|live: Live| async move {
        let ines = live.coordinator("Sorrel Bank").await;
        let wren = live.member(&ines, "Wren", Role::Helper).await;
        let stranger = live.coordinator("Ferry Lane").await;
        let picture = id();
        let at = path(&ines, picture);
        let answer = bring(&wren, &at, jpeg(50)).await;
        assert_eq!(
            (answer.status, &*answer.code()),
            (StatusCode::FORBIDDEN, "forbidden")
        );
        assert_eq!(
            bring(&ines, &at, jpeg(90_000)).await.status,
            StatusCode::NO_CONTENT
        );
        // Once more, as after a lost answer; but never other bytes under the same id.
        assert_eq!(
            bring(&ines, &at, jpeg(90_000)).await.status,
            StatusCode::NO_CONTENT
        );
        assert_eq!(bring(&ines, &at, jpeg(7)).await.code(), "taken");
        assert_eq!(bytes_at(&wren, &at).await, (StatusCode::OK, jpeg(90_000)));
        assert_eq!(
            wren.get(&at).await.header("content-type"),
            Some("image/jpeg")
        );
        assert_eq!(stranger.get(&at).await.status, StatusCode::NOT_FOUND);
        assert_eq!(
            bring(&stranger, &at, jpeg(9)).await.status,
            StatusCode::NOT_FOUND
        );
        let nobody = Phone::new(&live);
        assert_eq!(nobody.get(&at).await.status, StatusCode::UNAUTHORIZED);
        // Not below another garden's address either.
        assert_eq!(
            stranger.get(&path(&stranger, picture)).await.code(),
            "not_found"
        );
        let live = live.restart();
        let wren = Phone {
            base: live.url(""),
            ..wren
        };
        assert_eq!(bytes_at(&wren, &at).await, (StatusCode::OK, jpeg(90_000)));
    });
}

#[test]
fn what_is_no_picture_or_too_large_is_refused_in_a_sentence() {
    let limits = Limits {
        picture_bytes: 1_000,
        pictures: 2,
        ..Limits::default()
    };
    with_limits(limits, |live: Live| async move {
        let ines = live.coordinator("Sorrel Bank").await;
        for garbage in [
            Vec::new(),
            b"<svg onload=alert(1)>".to_vec(),
            b"RIFF1234WAVE".to_vec(),
            vec![0xFF, 0xD8],
        ] {
            let answer = bring(&ines, &path(&ines, id()), garbage).await;
            assert_eq!(
                (answer.status, &*answer.code()),
                (StatusCode::BAD_REQUEST, "bad_request")
            );
        }
        let answer = bring(&ines, &path(&ines, id()), jpeg(1_000)).await;
        assert_eq!(
            (answer.status, &*answer.code()),
            (StatusCode::PAYLOAD_TOO_LARGE, "too_large")
        );
        let huge = bring(&ines, &path(&ines, id()), jpeg(5_000_000)).await;
        assert_eq!(huge.status, StatusCode::PAYLOAD_TOO_LARGE);
        let no_id = format!("/api/gardens/{}/pictures/nonsense", ines.garden());
        assert_eq!(
            bring(&ines, &no_id, jpeg(9)).await.status,
            StatusCode::NOT_FOUND
        );
        // Each kind by its first bytes; the oldest goes when there are too many.
        let all = [id(), id(), id()];
        let webp = b"RIFF\x10\0\0\0WEBPVP8 ".to_vec();
        let png = b"\x89PNG\r\n\x1a\n and so on".to_vec();
        for (picture, bytes) in all.into_iter().zip([webp, png, jpeg(10)]) {
            live.clock.advance_millis(1_000);
            assert_eq!(
                bring(&ines, &path(&ines, picture), bytes).await.status,
                StatusCode::NO_CONTENT
            );
        }
        let found = [
            ines.get(&path(&ines, all[0])).await,
            ines.get(&path(&ines, all[1])).await,
        ];
        assert_eq!(found[0].status, StatusCode::NOT_FOUND);
        assert_eq!(found[1].header("content-type"), Some("image/png"));
    });
}
