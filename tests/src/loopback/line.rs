//! One socket of a phone: frames there, frames back.

use std::time::Duration;

use actix_codec::Framed;
use awc::BoxedSocket;
use awc::cookie::Cookie;
use awc::http::header::ORIGIN;
use awc::ws::{Codec, Frame, Message};
use futures_util::{SinkExt as _, StreamExt as _};
use selion_core::sync::frame::{Answer, ClientFrame, PROTOCOL, ServerFrame};

use super::Outcome;

/// Longer than anything here takes, shorter than anybody's patience.
const PATIENCE: Duration = Duration::from_secs(60);
/// The longest frame that is read: a large document.
const LONGEST_FRAME: usize = 64 * 1024 * 1024;

/// An open socket.
pub struct Line(Framed<BoxedSocket, Codec>);

impl Line {
    pub(super) async fn open(
        client: &awc::Client,
        url: String,
        origin: &str,
        cookie: Cookie<'static>,
    ) -> Outcome<Self> {
        let request = client.ws(url).set_header(ORIGIN, origin).cookie(cookie);
        let (_, framed) = request
            .max_frame_size(LONGEST_FRAME)
            .connect()
            .await
            .map_err(|error| error.to_string())?;
        Ok(Self(framed))
    }

    /// Says hello with nothing at hand.
    pub async fn hello(&mut self) -> Outcome<()> {
        let hello = ClientFrame::Hello {
            protocol: PROTOCOL,
            epoch: None,
            cursors: selion_core::ordered::Map::new(),
        };
        self.say(&hello).await
    }

    /// Sends a frame.
    pub async fn say(&mut self, frame: &ClientFrame) -> Outcome<()> {
        self.0.send(Message::Text(frame.write().into())).await?;
        Ok(())
    }

    /// The next frame, or none when the service has closed the socket.
    pub async fn hear(&mut self) -> Outcome<Option<ServerFrame>> {
        loop {
            let next = actix_rt::time::timeout(PATIENCE, self.0.next());
            match next.await? {
                Some(Ok(Frame::Text(text))) => {
                    return Ok(Some(ServerFrame::read(std::str::from_utf8(&text)?)?));
                }
                Some(Ok(Frame::Close(_))) | None => return Ok(None),
                Some(Ok(_)) => {}
                Some(Err(error)) => return Err(error.to_string().into()),
            }
        }
    }

    /// The next answers, passing over whatever else comes.
    pub async fn answers(&mut self) -> Outcome<Vec<Answer>> {
        loop {
            let heard = self.hear().await?.ok_or("the service closed the socket")?;
            if let ServerFrame::Answers { answers } = heard {
                return Ok(answers);
            } else if let ServerFrame::Wrong { message } | ServerFrame::Revoked { message } = heard
            {
                return Err(message.into());
            }
        }
    }
}

impl std::fmt::Debug for Line {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Line").finish_non_exhaustive()
    }
}
