//! Who is let in: this page of this run, and nobody else.
//!
//! Any site that a person has open can send requests to the loopback. It can't read the answers, nor send a
//! header of its own without asking first; a name that a stranger's server resolves to 127.0.0.1 gives itself
//! away by `Host`. So: the right host, no foreign origin, and for all that is not the bare page the secret of this run.

use hyper::Method;
use hyper::header::{HOST, HeaderMap, HeaderValue, ORIGIN};

/// The header that carries the secret.
pub(super) const KEY: &str = "x-seamfast-key";

/// What is asked of whoever comes.
#[derive(Debug)]
pub(super) struct Gate {
    hosts: [String; 2],
    key: String,
}

/// Why somebody is turned away.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub(super) enum Turned {
    #[error("this page answers to 127.0.0.1 only")]
    Host,
    #[error("this page answers to itself only")]
    Origin,
    #[error("this page was opened without its key; open it as seamfast open said it")]
    Key,
}

impl Gate {
    /// A gate for this port, with a new secret.
    pub(super) fn new(port: u16) -> Result<Gate, getrandom::Error> {
        let mut chance = [0; 24];
        getrandom::fill(&mut chance)?;
        let key = chance.iter().map(|byte| format!("{byte:02x}")).collect();
        Ok(Gate { hosts: [format!("127.0.0.1:{port}"), format!("localhost:{port}")], key })
    }

    /// The secret of this run.
    pub(super) fn key(&self) -> &str {
        &self.key
    }

    /// Lets a request for the bare page in.
    pub(super) fn bare(&self, headers: &HeaderMap) -> Result<(), Turned> {
        let text = |value: Option<&HeaderValue>| value.and_then(|value| value.to_str().ok().map(str::to_owned));
        let mut hosts = headers.get_all(HOST).iter();
        let (host, other) = (text(hosts.next()), hosts.next());
        if other.is_some() || host.is_none_or(|host| !self.hosts.contains(&host)) {
            return Err(Turned::Host);
        }
        if let Some(origin) = headers.get(ORIGIN) {
            let own = |origin: String| self.hosts.iter().any(|host| origin == format!("http://{host}"));
            if !text(Some(origin)).is_some_and(own) {
                return Err(Turned::Origin);
            }
        }
        match text(headers.get("sec-fetch-site")).as_deref() {
            None | Some("same-origin" | "none") => Ok(()),
            Some(_) => Err(Turned::Origin),
        }
    }

    /// Lets a request in that reads or changes the design.
    pub(super) fn whole(&self, headers: &HeaderMap) -> Result<(), Turned> {
        self.bare(headers)?;
        let given = headers.get(KEY).map_or(&[][..], HeaderValue::as_bytes);
        // As long for a nearly right key as for a wrong one.
        let wrong = given.iter().zip(self.key.as_bytes()).fold(0, |wrong, (a, b)| wrong | (a ^ b));
        if given.len() == self.key.len() && wrong == 0 { Ok(()) } else { Err(Turned::Key) }
    }
}

/// The bare page is only ever read.
pub(super) fn reads(method: &Method) -> bool {
    matches!(*method, Method::GET | Method::HEAD)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn headers(pairs: &[(&'static str, &str)]) -> HeaderMap {
        let pair = |(name, value): &(&'static str, &str)| {
            (hyper::header::HeaderName::from_static(name), HeaderValue::from_str(value).unwrap())
        };
        pairs.iter().map(pair).collect()
    }

    #[test]
    fn only_this_page_of_this_run_is_let_in() {
        let gate = Gate::new(4711).unwrap();
        let (host, key) = (("host", "127.0.0.1:4711"), (KEY, gate.key()));
        assert_eq!(gate.whole(&headers(&[host, key])), Ok(()));
        assert_eq!(gate.whole(&headers(&[host, key, ("origin", "http://127.0.0.1:4711")])), Ok(()));
        assert_eq!(gate.bare(&headers(&[("host", "localhost:4711")])), Ok(()));
        for wrong in ["harbour.example:4711", "127.0.0.1", "127.0.0.1:80", "127.0.0.1:4711.harbour.example", ""] {
            assert_eq!(gate.whole(&headers(&[("host", wrong), key])), Err(Turned::Host), "{wrong}");
        }
        assert_eq!(gate.whole(&headers(&[key])), Err(Turned::Host));
        for wrong in ["http://harbour.example", "null", "https://127.0.0.1:4711", "http://127.0.0.1:4712"] {
            assert_eq!(gate.whole(&headers(&[host, key, ("origin", wrong)])), Err(Turned::Origin), "{wrong}");
        }
        assert_eq!(gate.bare(&headers(&[host, ("sec-fetch-site", "cross-site")])), Err(Turned::Origin));
        let nearly = format!("{}0", &gate.key()[..gate.key().len() - 1]);
        for wrong in ["", "0", &*nearly, &gate.key()[1..]] {
            if wrong != gate.key() {
                assert_eq!(gate.whole(&headers(&[host, (KEY, wrong)])), Err(Turned::Key));
            }
        }
        assert_ne!(gate.key(), Gate::new(4711).unwrap().key());
    }
}
