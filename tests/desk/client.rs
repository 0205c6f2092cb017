//! A client that asks as the browser of a paired device does, and what it is answered.
//!
//! Redirects are not followed, except by [`Client::done`] and [`Client::follow`].

use std::time::Duration;

use ureq::{Agent, http};

use crate::support::until;

/// A client with a connection that stays open.
#[derive(Clone)]
pub struct Client {
    agent: Agent,
    address: String,
    secret: Option<String>,
}

impl Client {
    /// A client that is not paired; `address` as `http://127.0.0.1:40123`.
    pub fn new(address: &str) -> Self {
        let config = Agent::config_builder().http_status_as_error(false).max_redirects(0).proxy(None);
        // The desk closes what waits for ten seconds.
        let config = config.max_idle_age(Duration::from_secs(3));
        Self { agent: config.build().new_agent(), address: address.into(), secret: None }
    }

    /// The same device at a desk that was opened anew.
    pub fn at(&self, address: &str) -> Self {
        Self { secret: self.secret.clone(), ..Self::new(address) }
    }

    /// The client of the device that shows this secret.
    pub fn with_cookie(mut self, secret: &str) -> Self {
        self.secret = Some(secret.into());
        self
    }

    /// Follows a link that pairs, and keeps the cookie.
    #[track_caller]
    pub fn pair(&mut self, link: &str) {
        let answer = self.get(link.strip_prefix(&self.address).unwrap());
        let cookie = answer.header("set-cookie").unwrap_or_else(|| panic!("not paired: {}", answer.text()));
        self.secret = Some(cookie.split_once('=').unwrap().1.split(';').next().unwrap().into());
    }

    /// The `Cookie` header, as `stowmark-40123=…`.
    pub fn cookie(&self) -> String {
        let port = self.address.rsplit(':').next().unwrap();
        format!("stowmark-{port}={}", self.secret.as_deref().unwrap_or_default())
    }

    /// Asks for a page.
    #[track_caller]
    pub fn get(&self, path: &str) -> Answer {
        self.send("GET", path, &[], None)
    }

    /// Asks for the changing part of a page, as the desk's script does.
    #[track_caller]
    pub fn part(&self, path: &str) -> Answer {
        self.send("GET", path, &[("X-Part", "1")], None)
    }

    /// Sends a form.
    #[track_caller]
    pub fn post(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        self.send("POST", path, &[("Content-Type", FORM)], Some(&encode(fields)))
    }

    /// Sends a form by script, which puts the answer into the open page.
    #[track_caller]
    pub fn post_part(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        self.send("POST", path, &[("Content-Type", FORM), ("X-Part", "1")], Some(&encode(fields)))
    }

    /// Sends a form with a file in its field `file`.
    #[track_caller]
    pub fn post_file(&self, path: &str, fields: &[(&str, &str)], name: &str, bytes: &[u8]) -> Answer {
        self.post_file_as(path, fields, "file", name, bytes)
    }

    /// Sends a form with a file in a field of any name.
    #[track_caller]
    pub fn post_file_as(&self, path: &str, fields: &[(&str, &str)], field: &str, name: &str, bytes: &[u8]) -> Answer {
        let kind = format!("multipart/form-data; boundary={BOUNDARY}");
        self.send("POST", path, &[("Content-Type", &kind)], Some(&multipart(fields, field, name, bytes)))
    }

    /// Sends a form with a file by script, which puts the answer into the open page.
    #[track_caller]
    pub fn post_file_part(&self, path: &str, fields: &[(&str, &str)], field: &str, name: &str, bytes: &[u8]) -> Answer {
        let kind = format!("multipart/form-data; boundary={BOUNDARY}");
        let headers = [("Content-Type", kind.as_str()), ("X-Part", "1")];
        self.send("POST", path, &headers, Some(&multipart(fields, field, name, bytes)))
    }

    /// Sends a form that has to be done, and gives the page that it leads to.
    #[track_caller]
    pub fn done(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let answer = self.post(path, fields);
        assert_eq!(answer.status, 303, "{path} {fields:?}: {}", answer.text());
        self.follow(&answer)
    }

    /// The page that an answer leads to, after the end of a work where it leads to one.
    #[track_caller]
    pub fn follow(&self, answer: &Answer) -> Answer {
        let Some(path) = answer.header("location") else { panic!("leads nowhere: {}", answer.text()) };
        if path.starts_with("/progress/") {
            let end = until("the end of the work", || self.part(path).header("x-go").map(ToOwned::to_owned));
            return self.get(&end);
        }
        self.get(path)
    }

    /// Sends anything; what a browser adds is added: its cookie, and whence it comes where something is sent.
    #[track_caller]
    pub fn send(&self, method: &str, path: &str, headers: &[(&str, &str)], body: Option<&[u8]>) -> Answer {
        self.attempt(method, path, headers, body).unwrap_or_else(|fault| panic!("{method} {path}: {fault}"))
    }

    /// Sends a form to a desk that may be ending; `None` where no answer comes.
    pub fn try_post(&self, path: &str, fields: &[(&str, &str)]) -> Option<Answer> {
        self.attempt("POST", path, &[("Content-Type", FORM)], Some(&encode(fields))).ok()
    }

    fn attempt(
        &self,
        method: &str,
        path: &str,
        headers: &[(&str, &str)],
        body: Option<&[u8]>,
    ) -> Result<Answer, ureq::Error> {
        let mut request = http::Request::builder().method(method).uri(format!("{}{path}", self.address));
        if self.secret.is_some() {
            request = request.header("Cookie", self.cookie());
        }
        if method == "POST" {
            request = request.header("Origin", &self.address).header("Sec-Fetch-Site", "same-origin");
        }
        for (name, value) in headers {
            request = request.header(*name, *value);
        }
        let answer = match body {
            Some(body) => self.agent.run(request.body(body).unwrap()),
            None => self.agent.run(request.body(()).unwrap()),
        };
        Answer::read(answer?)
    }
}

const FORM: &str = "application/x-www-form-urlencoded";
const BOUNDARY: &str = "-----a-line-that-is-in-no-file";

/// A form's body (URL standard, 5.2: the serialiser of `application/x-www-form-urlencoded`).
pub fn encode(fields: &[(&str, &str)]) -> Vec<u8> {
    let pairs: Vec<String> =
        fields.iter().map(|(name, value)| format!("{}={}", percent(name), percent(value))).collect();
    pairs.join("&").into_bytes()
}

/// Text as it stands in an address or a form: all but letters, digits and `-_.` as `%XX`.
pub fn percent(text: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-_.".contains(&byte);
    text.bytes().map(|byte| if plain(byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") }).collect()
}

/// A form with a file (RFC 7578).
pub fn multipart(fields: &[(&str, &str)], field: &str, name: &str, bytes: &[u8]) -> Vec<u8> {
    let mut body = String::new();
    for (name, value) in fields {
        let part = format!("--{BOUNDARY}\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n");
        body.push_str(&part);
    }
    let part = format!("--{BOUNDARY}\r\nContent-Disposition: form-data; name=\"{field}\"; filename=\"{name}\"\r\n");
    body.push_str(&part);
    body += "Content-Type: application/octet-stream\r\n\r\n";
    [body.as_bytes(), bytes, format!("\r\n--{BOUNDARY}--\r\n").as_bytes()].concat()
}

/// What the desk has answered.
pub struct Answer {
    pub status: u16,
    pub headers: Vec<(String, String)>,
    pub bytes: Vec<u8>,
}

impl Answer {
    fn read(answer: http::Response<ureq::Body>) -> Result<Self, ureq::Error> {
        let (head, body) = answer.into_parts();
        let text = |value: &http::HeaderValue| String::from_utf8_lossy(value.as_bytes()).into_owned();
        let headers = head.headers.iter().map(|(name, value)| (name.as_str().to_owned(), text(value))).collect();
        let bytes = body.into_with_config().limit(1 << 30).read_to_vec()?;
        Ok(Self { status: head.status.as_u16(), headers, bytes })
    }

    /// The value of a header, by its name in small letters.
    pub fn header(&self, name: &str) -> Option<&str> {
        self.headers.iter().find(|(known, _)| known == name).map(|(_, value)| value.as_str())
    }

    /// Where it leads.
    #[track_caller]
    pub fn location(&self) -> &str {
        self.header("location").unwrap_or_else(|| panic!("{} leads nowhere: {}", self.status, self.text()))
    }

    /// The body as it came.
    pub fn body(&self) -> String {
        String::from_utf8_lossy(&self.bytes).into_owned()
    }

    /// Whether a text stands in what a reader would see, or in the body as it came.
    pub fn has(&self, text: &str) -> bool {
        self.text().contains(text) || self.body().contains(text)
    }

    /// What a reader would see: without tags, spaces as one.
    pub fn text(&self) -> String {
        let body = self.body();
        let parts = body.split('<').enumerate();
        let words =
            parts.map(|(at, part)| if at == 0 { part } else { part.split_once('>').map_or("", |(_, text)| text) });
        plain(&words.collect::<Vec<_>>().join(" "))
    }

    /// The value of the first field of this name.
    pub fn field(&self, name: &str) -> Option<String> {
        self.fields(name).into_iter().next()
    }

    /// The values of all fields of this name.
    pub fn fields(&self, name: &str) -> Vec<String> {
        let body = self.body();
        let tags = body.split('<').filter_map(|part| part.split_once('>').map(|(tag, _)| tag));
        let named = tags.filter(|tag| attribute(tag, "name").is_some_and(|found| found == name));
        named.filter_map(|tag| attribute(tag, "value")).collect()
    }
}

pub fn attribute(tag: &str, name: &str) -> Option<String> {
    let (_, rest) = tag.split_once(&format!(" {name}=\""))?;
    rest.split_once('"').map(|(value, _)| plain(value))
}

/// Text without its escapes, spaces as one.
fn plain(text: &str) -> String {
    let escapes = [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&#34;", "\""),
        ("&#39;", "'"),
        ("&#60;", "<"),
        ("&#62;", ">"),
        ("&#38;", "&"),
        ("&amp;", "&"),
    ];
    let text = escapes.iter().fold(text.to_owned(), |text, (from, to)| text.replace(from, to));
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
