//! The server: HTTP on the loopback, routes to what the house can do.

use std::net::{Ipv4Addr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;

use http_body_util::{BodyExt, Full, Limited};
use hyper::body::{Bytes, Incoming};
use hyper::header::{CONTENT_TYPE, HeaderValue};
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper::{Method, Request, Response, StatusCode};
use hyper_util::rt::{TokioIo, TokioTimer};
use serde_json::{Value, json};
use tokio::net::TcpListener;
use tokio::sync::Semaphore;

use super::bench::Ask;
use super::desk::{Desk, Way};
use super::errands::Errand;
use super::gate::{Gate, reads};
use super::house::{House, Trouble, edits};
use super::{Opening, PageError, begun, disk, parcels, shipped, web};
use crate::guard::Standing;

/// How long a page waits for news before it asks again.
const WAIT: Duration = Duration::from_secs(20);
/// A request's head must have come by then.
const HEAD: Duration = Duration::from_secs(10);
/// The most bytes of a request that is no drawing.
const QUESTION: usize = 1 << 20;
/// The most connections at once; a browser has six.
const CONNECTIONS: usize = 64;

/// A page that is about to be served.
pub(crate) struct Server {
    listener: std::net::TcpListener,
    port: u16,
    gate: Gate,
    house: Arc<House>,
}

/// What a route comes to.
pub(super) type Reply = Result<Response<Full<Bytes>>, Trouble>;

impl Server {
    /// Opens the door, on the loopback only.
    pub(crate) fn bind(opening: Opening, words: Vec<std::ffi::OsString>) -> Result<Server, PageError> {
        let no_door = |error| PageError::NoDoor { port: opening.port, error };
        let file = opening.file.clone();
        let desk =
            Desk::open(opening.file, begun(&opening.name)).map_err(|error| PageError::Unreadable { file, error })?;
        let listener =
            std::net::TcpListener::bind(SocketAddr::from((Ipv4Addr::LOCALHOST, opening.port))).map_err(no_door)?;
        listener.set_nonblocking(true).map_err(no_door)?;
        let port = listener.local_addr().map_err(no_door)?.port();
        let gate = Gate::new(port).map_err(|e| PageError::NoChance(e.to_string()))?;
        let house = House::new(desk, Standing::new(words));
        parcels::lay_all(&house, &opening.motifs)?;
        Ok(Server { listener, port, gate, house: Arc::new(house) })
    }

    /// Where the page is. The secret stands behind the `#`, which a browser sends to nobody.
    pub(crate) fn address(&self) -> String {
        format!("http://127.0.0.1:{}/#{}", self.port, self.gate.key())
    }

    /// Serves for as long as the program runs.
    pub(crate) fn serve(self) -> Result<(), PageError> {
        let no_door = |error| PageError::NoDoor { port: self.port, error };
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().map_err(no_door)?;
        disk::watch(self.house.clone());
        let (gate, house) = (Arc::new(self.gate), self.house);
        runtime.block_on(async {
            let listener = TcpListener::from_std(self.listener).map_err(no_door)?;
            let room = Arc::new(Semaphore::new(CONNECTIONS));
            loop {
                let Ok(permit) = room.clone().acquire_owned().await else { return Ok(()) };
                let Ok((stream, _)) = listener.accept().await else {
                    tokio::time::sleep(Duration::from_millis(50)).await;
                    continue;
                };
                let (gate, house) = (gate.clone(), house.clone());
                tokio::spawn(async move {
                    let service = service_fn(move |request| {
                        let (gate, house) = (gate.clone(), house.clone());
                        async move { Ok::<_, std::convert::Infallible>(guarded(request, &gate, house).await) }
                    });
                    let mut http = http1::Builder::new();
                    http.timer(TokioTimer::new()).header_read_timeout(HEAD);
                    // A browser that goes away in the middle is no failure of ours.
                    let _ = http.serve_connection(TokioIo::new(stream), service).await;
                    drop(permit);
                });
            }
        })
    }
}

/// Answers whom the gate lets in.
async fn guarded(request: Request<Incoming>, gate: &Gate, house: Arc<House>) -> Response<Full<Bytes>> {
    let bare = reads(request.method()).then(|| web::file(request.uri().path())).flatten();
    let let_in = if bare.is_some() { gate.bare(request.headers()) } else { gate.whole(request.headers()) };
    let reply = match (let_in, bare) {
        (Err(turned), _) => Ok(answer(StatusCode::FORBIDDEN, &json!({ "error": { "what": turned.to_string() } }))),
        (Ok(()), Some((kind, bytes))) => Ok(sent(kind, bytes.to_vec())),
        (Ok(()), None) => routed(request, house).await,
    };
    let mut response = reply.unwrap_or_else(|trouble| {
        // No failure of HTTP, which a browser would write to its log: the question was heard, and this is the answer.
        let mut response = answer(StatusCode::OK, &json!({ "error": trouble.told() }));
        let kind = HeaderValue::from_static(if trouble.is_old() { "old" } else { "refused" });
        response.headers_mut().insert("x-seamfast-trouble", kind);
        response
    });
    for (name, value) in web::HEADERS {
        response.headers_mut().insert(name, HeaderValue::from_static(value));
    }
    response
}

async fn routed(request: Request<Incoming>, house: Arc<House>) -> Reply {
    let path = request.uri().path().to_owned();
    let query = request.uri().query().unwrap_or_default().to_owned();
    match (request.method(), &*path) {
        (&Method::GET, "/state") => {
            wait(&house, &query).await;
            blocking(house, |house| Ok(answer(StatusCode::OK, &house.state()))).await
        }
        (&Method::GET, "/shipped") => {
            let names: Vec<_> = shipped::MOTIFS.iter().map(|(name, svg)| json!({ "name": name, "svg": svg })).collect();
            Ok(answer(StatusCode::OK, &json!(names)))
        }
        (&Method::GET, "/made") => blocking(house, move |house| parcels::made(house, &query)).await,
        (&Method::PUT, "/motif") => {
            let bytes = body(request, House::most_bytes()).await?;
            blocking(house, move |house| parcels::taken(house, &query, &bytes)).await
        }
        (&Method::POST, "/edit" | "/undo" | "/redo" | "/ask" | "/errand" | "/stop") => {
            let bytes = body(request, QUESTION).await?;
            let asked: Value =
                serde_json::from_slice(&bytes).map_err(|e| Trouble::Other(format!("this is no JSON: {e}")))?;
            blocking(house, move |house| posted(house, &path, &asked)).await
        }
        _ => Ok(answer(StatusCode::NOT_FOUND, &json!({ "error": { "what": "there is no such page" } }))),
    }
}

/// Waits until there is something that the page has not seen.
async fn wait(house: &House, query: &str) {
    let Some(after) = query.strip_prefix("after=").and_then(|n| n.parse::<u64>().ok()) else { return };
    let mut news = house.listen();
    let _ = tokio::time::timeout(WAIT, news.wait_for(|seen| *seen != after)).await;
}

/// The craft takes its time: not on the thread that listens.
async fn blocking(house: Arc<House>, work: impl FnOnce(&House) -> Reply + Send + 'static) -> Reply {
    tokio::task::spawn_blocking(move || work(&house)).await.unwrap_or_else(|e| Err(Trouble::Other(e.to_string())))
}

async fn body(request: Request<Incoming>, most: usize) -> Result<Bytes, Trouble> {
    let read = Limited::new(request.into_body(), most).collect().await;
    let too_much = |_| Trouble::Other(format!("that is more than {} MB, or it broke off", most >> 20));
    Ok(read.map_err(too_much)?.to_bytes())
}

fn posted(house: &House, path: &str, asked: &Value) -> Reply {
    let number = || asked["number"].as_u64().unwrap_or_default();
    match path {
        "/edit" => house.edit(number(), &edits(&asked["edits"])?, asked["together"].as_str())?,
        "/undo" => house.step(number(), Way::Undo)?,
        "/redo" => house.step(number(), Way::Redo)?,
        "/ask" => {
            let ask: Ask = serde_json::from_value(asked["ask"].clone())
                .map_err(|e| Trouble::Other(format!("this is no question: {e}")))?;
            let (head, pixels) = house.ask(&edits(&asked["edits"])?, ask)?;
            let mut response = sent("application/octet-stream", pixels);
            let told = HeaderValue::from_str(&ascii(&head)).map_err(|e| Trouble::Other(e.to_string()))?;
            response.headers_mut().insert("x-seamfast", told);
            return Ok(response);
        }
        "/errand" => {
            let errand: Errand = serde_json::from_value(asked["errand"].clone())
                .map_err(|e| Trouble::Other(format!("this is no errand: {e}")))?;
            if !house.send(errand) {
                return Err(Trouble::Other("something is being made already; wait for it, or stop it".into()));
            }
        }
        _ => house.errands.stop(),
    }
    Ok(answer(StatusCode::OK, &house.state()))
}

/// JSON in the letters that a header may have.
fn ascii(value: &Value) -> String {
    let escaped = |c: char| {
        if c.is_ascii() {
            c.to_string()
        } else {
            c.encode_utf16(&mut [0; 2]).iter().map(|u| format!("\\u{u:04x}")).collect()
        }
    };
    value.to_string().chars().map(escaped).collect()
}

fn answer(code: StatusCode, value: &Value) -> Response<Full<Bytes>> {
    let mut response = sent("application/json", value.to_string().into_bytes());
    *response.status_mut() = code;
    response
}

/// Bytes of a kind.
pub(super) fn sent(kind: &'static str, bytes: impl Into<Bytes>) -> Response<Full<Bytes>> {
    let mut response = Response::new(Full::new(bytes.into()));
    response.headers_mut().insert(CONTENT_TYPE, HeaderValue::from_static(kind));
    response
}

/// JSON that all is well.
pub(super) fn told(value: &Value) -> Reply {
    Ok(answer(StatusCode::OK, value))
}
