//! Sockets: hello, edits, being told, being let go.

use std::time::Duration;

use actix_web::http::header::ORIGIN;
use actix_web::rt::time::timeout;
use actix_web::web::Bytes;
use awc::BoxedSocket;
use awc::ws::{CloseCode, Codec, Frame, Message};
use futures_util::{SinkExt as _, StreamExt as _};
use selion_core::document::Role;
use selion_core::sync::frame::{ClientFrame, ServerFrame};
use serde_json::Value;

use super::{Live, Phone, live, with_limits};
use crate::config::Limits;
use crate::testing::{edits, hello};

/// Longer than anything here takes, shorter than anybody's patience.
const PATIENCE: Duration = Duration::from_secs(20);

/// What a socket brings.
#[derive(Debug, PartialEq)]
enum Heard {
    Frame(ServerFrame),
    Closed(Option<u16>),
}

struct Socket(actix_codec::Framed<BoxedSocket, Codec>);

impl Socket {
    async fn open(phone: &Phone) -> Self {
        Self::try_open(phone, &phone.base).await.unwrap()
    }

    async fn try_open(phone: &Phone, origin: &str) -> Result<Self, awc::error::WsClientError> {
        let url = format!("{}/api/gardens/{}/socket", phone.base, phone.garden());
        let request = phone
            .client
            .ws(url)
            .set_header(ORIGIN, origin)
            .cookie(phone.cookie.clone().unwrap());
        let (_, framed) = request.max_frame_size(16 * 1024 * 1024).connect().await?;
        Ok(Self(framed))
    }

    async fn greeted(phone: &Phone) -> Self {
        let mut socket = Self::open(phone).await;
        socket.say(&hello()).await;
        let Heard::Frame(ServerFrame::Welcome { documents, .. }) = socket.hear().await else {
            panic!("no welcome")
        };
        for _ in documents {
            assert!(matches!(
                socket.hear().await,
                Heard::Frame(ServerFrame::Snapshot { .. })
            ));
        }
        socket
    }

    async fn say(&mut self, frame: &ClientFrame) {
        self.0
            .send(Message::Text(frame.write().into()))
            .await
            .unwrap();
    }

    async fn hear(&mut self) -> Heard {
        loop {
            let next = timeout(PATIENCE, self.0.next())
                .await
                .expect("something comes in time");
            match next {
                Some(Ok(Frame::Text(text))) => {
                    return Heard::Frame(
                        ServerFrame::read(std::str::from_utf8(&text).unwrap()).unwrap(),
                    );
                }
                Some(Ok(Frame::Close(reason))) => {
                    return Heard::Closed(reason.map(|reason| reason.code.into()));
                }
                Some(Ok(_)) => {}
                Some(Err(_)) | None => return Heard::Closed(None),
            }
        }
    }
}

#[test]
fn an_edit_is_answered_and_the_other_phone_is_told() {
    live(|live| async move {
        let rowan = live.coordinator("Upper Meadow").await;
        let wren = live.member(&rowan, "Wren", Role::Helper).await;
        let (mut by, mut other) = (Socket::greeted(&rowan).await, Socket::greeted(&wren).await);
        let task = rowan.task("mend the gate");
        by.say(&edits([&task])).await;
        assert!(matches!(
            other.hear().await,
            Heard::Frame(ServerFrame::Changes { first: 2, .. })
        ));
        assert!(matches!(
            by.hear().await,
            Heard::Frame(ServerFrame::Changes { first: 2, .. })
        ));
        let Heard::Frame(ServerFrame::Answers { answers }) = by.hear().await else {
            panic!("no answer")
        };
        assert_eq!(
            (answers.len(), answers[0].edit, answers[0].again),
            (1, task.id, false)
        );
        by.say(&ClientFrame::Ping).await;
        assert_eq!(by.hear().await, Heard::Frame(ServerFrame::Pong));
        assert_eq!(
            rowan.sync(&[task]).await[0]["again"],
            true,
            "by request it is the same edit"
        );
    });
}

#[test]
fn a_revoked_device_is_told_over_its_socket() {
    live(|live| async move {
        let rowan = live.coordinator("Upper Meadow").await;
        let wren = live.member(&rowan, "Wren", Role::Helper).await;
        let mut socket = Socket::greeted(&wren).await;
        let path = format!(
            "/api/gardens/{}/members/{}/revoke-devices",
            rowan.garden(),
            wren.place.unwrap().1
        );
        let counted: Value = rowan.post(&path, &Value::Null).await.json();
        assert_eq!(counted["devices"], 1);
        assert!(matches!(
            socket.hear().await,
            Heard::Frame(ServerFrame::Revoked { .. })
        ));
        assert_eq!(socket.hear().await, Heard::Closed(Some(4401)));
        assert!(
            Socket::try_open(&wren, &wren.base).await.is_err(),
            "not a member of this garden on this device"
        );

        let mut own = Socket::greeted(&rowan).await;
        let me: Value = rowan.get("/api/me").await.json();
        rowan
            .post(
                &format!("/api/devices/{}/revoke", me["device"].as_str().unwrap()),
                &Value::Null,
            )
            .await;
        assert!(matches!(
            own.hear().await,
            Heard::Frame(ServerFrame::Revoked { .. })
        ));
        let mut again = Socket::open(&rowan).await;
        assert!(
            matches!(
                again.hear().await,
                Heard::Frame(ServerFrame::Revoked { .. })
            ),
            "told over the socket"
        );
        assert_eq!(again.hear().await, Heard::Closed(Some(4401)));
    });
}

#[test]
fn only_our_own_pages_open_sockets() {
    live(|live| async move {
        let rowan = live.coordinator("Upper Meadow").await;
        assert!(
            Socket::try_open(&rowan, "https://evil.example")
                .await
                .is_err()
        );
        let stranger = Phone {
            cookie: Some(awc::cookie::Cookie::new("selion-device", "guess")),
            ..rowan.clone()
        };
        assert!(Socket::try_open(&stranger, &rowan.base).await.is_err());
        Socket::greeted(&rowan).await;
    });
}

#[test]
fn a_socket_without_hello_is_closed() {
    let limits = Limits {
        hello_within: Duration::from_millis(50),
        ..Limits::default()
    };
    with_limits(limits, |live| async move {
        let rowan = live.coordinator("Upper Meadow").await;
        let mut mute = Socket::open(&rowan).await;
        assert_eq!(mute.hear().await, Heard::Closed(Some(4400)));
    });
}

#[test]
fn a_silent_socket_is_closed() {
    let limits = Limits {
        silence: Duration::from_millis(300),
        ..Limits::default()
    };
    with_limits(limits, |live| async move {
        let rowan = live.coordinator("Upper Meadow").await;
        let mut lazy = Socket::greeted(&rowan).await;
        assert_eq!(lazy.hear().await, Heard::Closed(Some(4400)));
    });
}

#[test]
fn what_is_no_frame_or_too_large_ends_the_socket() {
    live(|live| async move {
        let rowan = live.coordinator("Upper Meadow").await;
        let mut wrong = Socket::open(&rowan).await;
        wrong.0.send(Message::Text("{}".into())).await.unwrap();
        assert!(matches!(
            wrong.hear().await,
            Heard::Frame(ServerFrame::Wrong { .. })
        ));
        assert_eq!(wrong.hear().await, Heard::Closed(Some(4400)));

        let mut binary = Socket::greeted(&rowan).await;
        binary
            .0
            .send(Message::Binary(Bytes::from_static(b"\0")))
            .await
            .unwrap();
        assert_eq!(binary.hear().await, Heard::Closed(Some(4400)));

        let mut large = Socket::greeted(&rowan).await;
        large
            .0
            .send(Message::Text("x".repeat(70_000).into()))
            .await
            .unwrap();
        assert_eq!(
            large.hear().await,
            Heard::Closed(Some(CloseCode::Size.into()))
        );
    });
}

#[test]
fn a_service_that_stops_says_goodbye_and_keeps_what_it_answered() {
    let live = Live::start(Limits::default(), None);
    let system = actix_web::rt::System::new();
    let (rowan, mut socket, task) = system.block_on(async {
        let rowan = live.coordinator("Upper Meadow").await;
        let mut socket = Socket::greeted(&rowan).await;
        let task = rowan.task("mend the gate");
        socket.say(&edits([&task])).await;
        socket.hear().await;
        assert!(matches!(
            socket.hear().await,
            Heard::Frame(ServerFrame::Answers { .. })
        ));
        (rowan, socket, task)
    });
    let live = live.restart();
    assert_eq!(system.block_on(socket.hear()), Heard::Closed(Some(1012)));
    let rowan = Phone {
        base: live.url(""),
        ..rowan
    };
    assert_eq!(system.block_on(rowan.sync(&[task]))[0]["again"], true);
}
