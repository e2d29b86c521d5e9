//! Syncing over a socket: frames in, frames out, until one side is silent too long or is told to go.

use std::sync::Arc;
use std::time::Duration;

use actix_web::web::{Data, Payload};
use actix_web::{Error, HttpRequest, HttpResponse, rt};
use actix_ws::{AggregatedMessage, AggregatedMessageStream, CloseCode, CloseReason, Session};
use selion_core::sync::frame::ServerFrame;
use tokio::time::{Instant, timeout_at};

use crate::auth::MemberSocket;
use crate::rooms::{Attendee, CLOSE_REVOKED, CLOSE_WRONG, Outgoing, SessionId, ToSend};
use crate::state::State;

/// Why a connection ends.
enum End {
    /// The other side is gone.
    Gone,
    /// With a code and a sentence.
    With(u16, &'static str),
}

/// Opens a socket to a garden.
pub(super) async fn open(
    who: MemberSocket,
    state: Data<State>,
    request: HttpRequest,
    body: Payload,
) -> Result<HttpResponse, Error> {
    let (answer, session, messages) = actix_ws::handle(&request, body)?;
    let longest = state.config.limits.frame;
    let messages = messages
        .max_frame_size(longest)
        .aggregate_continuations()
        .max_continuation_size(longest);
    match who {
        MemberSocket::Welcome(who) => {
            let limits = &state.config.limits;
            let outgoing = Arc::new(Outgoing::new(limits.queued_frames, limits.queued_bytes));
            let id = state.keeper.open(who, Arc::clone(&outgoing)).await?;
            rt::spawn(serve(state, id, who, session, messages, outgoing));
        }
        MemberSocket::SignedOut => {
            rt::spawn(tell_signed_out(session));
        }
    }
    Ok(answer)
}

async fn tell_signed_out(mut session: Session) {
    let frame = ServerFrame::Revoked {
        message: "This device was signed out.".to_owned(),
    };
    if session.text(frame.write()).await.is_ok() {
        close(session, End::With(CLOSE_REVOKED, "signed out")).await;
    }
}

async fn serve(
    state: Data<State>,
    id: SessionId,
    who: Attendee,
    session: Session,
    messages: AggregatedMessageStream,
    outgoing: Arc<Outgoing>,
) {
    let sending = send_all(session.clone(), Arc::clone(&outgoing));
    let receiving = receive_all(&state, id, session.clone(), messages);
    let end = tokio::select! {
        end = sending => end,
        end = receiving => end,
    };
    state.keeper.closed(id).await;
    tracing::debug!(garden = %who.garden, device = %who.device, "a connection ended");
    close(session, end).await;
}

/// Sends what waits, for as long as there is a connection.
async fn send_all(mut session: Session, outgoing: Arc<Outgoing>) -> End {
    loop {
        match outgoing.next().await {
            ToSend::Frame(text) => {
                if session.text(text.to_string()).await.is_err() {
                    return End::Gone;
                }
            }
            ToSend::Close { code } => return End::With(code, ""),
        }
    }
}

/// Hands on what comes. The first frame has to come soon; afterwards silence is allowed for a while.
async fn receive_all(
    state: &State,
    id: SessionId,
    mut session: Session,
    mut messages: AggregatedMessageStream,
) -> End {
    let limits = &state.config.limits;
    let hello_by = Instant::now() + limits.hello_within;
    let mut greeted = false;
    loop {
        let deadline = if greeted {
            Instant::now() + limits.silence
        } else {
            hello_by
        };
        let message = match timeout_at(deadline, messages.recv()).await {
            Err(_elapsed) if greeted => return End::With(CLOSE_WRONG, "silent too long"),
            Err(_elapsed) => return End::With(CLOSE_WRONG, "no hello came in time"),
            Ok(None) => return End::Gone,
            Ok(Some(Err(error))) => {
                tracing::debug!(%error, "a connection broke");
                return End::With(CloseCode::Size.into(), "the message is too large or broken");
            }
            Ok(Some(Ok(message))) => message,
        };
        match message {
            AggregatedMessage::Text(text) => {
                greeted = true;
                if state.keeper.frame(id, text.to_string()).await.is_err() {
                    return End::With(CloseCode::Restart.into(), "the service is stopping");
                }
            }
            AggregatedMessage::Ping(bytes) => {
                if session.pong(&bytes).await.is_err() {
                    return End::Gone;
                }
            }
            AggregatedMessage::Pong(_) => {}
            AggregatedMessage::Binary(_) => return End::With(CLOSE_WRONG, "frames are text"),
            AggregatedMessage::Close(_) => return End::Gone,
        }
    }
}

async fn close(session: Session, end: End) {
    let reason = match end {
        End::Gone => None,
        End::With(code, sentence) => Some(CloseReason {
            code: code.into(),
            description: Some(sentence.to_owned()).filter(|text| !text.is_empty()),
        }),
    };
    // The other side may be gone already, or not reading; neither may hold this task for long.
    let _gone = tokio::time::timeout(CLOSE_WITHIN, session.close(reason)).await;
}

/// How long a goodbye may take.
const CLOSE_WITHIN: Duration = Duration::from_secs(2);
