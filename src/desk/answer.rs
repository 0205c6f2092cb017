//! What the desk answers: pages, parts of pages, files, and why something was refused.

use askama::Template;
use axum::{
    http::{HeaderName, HeaderValue, StatusCode, header},
    response::{IntoResponse, Response},
};

use super::{
    guard::Asked,
    shell::{Place, Shell},
    words::desk_words,
};
use crate::job::with_causes;

/// A page or a part of one.
#[derive(Debug)]
pub(super) struct Page<T>(pub T);

impl<T: Template> IntoResponse for Page<T> {
    fn into_response(self) -> Response {
        match self.0.render() {
            Ok(html) => ([(header::CONTENT_TYPE, "text/html; charset=utf-8")], html).into_response(),
            Err(_) => Refusal::broken().into_response(),
        }
    }
}

/// Sends the browser on after something was done, so that a reload does not do it again.
#[derive(Debug)]
pub(super) struct Go(pub String);

impl IntoResponse for Go {
    fn into_response(self) -> Response {
        (StatusCode::SEE_OTHER, [(header::LOCATION, plain_address(&self.0))]).into_response()
    }
}

/// An address of the desk's own, in the letters that a header may have: what else stands in it is encoded.
fn plain_address(address: &str) -> String {
    let plain = |byte: u8| match byte {
        b'!'..=b'~' if byte != b'\\' => char::from(byte).to_string(),
        _ => format!("%{byte:02X}"),
    };
    let inner = address.trim_start_matches(['/', '\\']);
    format!("/{}", inner.bytes().map(plain).collect::<String>())
}

/// A file for the browser to keep or to show.
#[derive(Debug)]
pub(super) struct FileAnswer {
    /// Its name; letters that a file name can't have are replaced.
    pub name: String,
    /// Its kind, as `application/pdf`.
    pub mime: &'static str,
    /// Whether the browser keeps it at once; else it shows it.
    pub keep: bool,
    /// What is in it.
    pub bytes: Vec<u8>,
}

impl IntoResponse for FileAnswer {
    fn into_response(self) -> Response {
        let how = if self.keep { "attachment" } else { "inline" };
        let disposition = format!("{how}; filename=\"{}\"", safe_name(&self.name));
        ([(header::CONTENT_TYPE, self.mime.to_owned()), (header::CONTENT_DISPOSITION, disposition)], self.bytes)
            .into_response()
    }
}

/// A name that is a plain file name on every system.
fn safe_name(name: &str) -> String {
    let is_plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_' | ' ');
    let plain: String = name.chars().map(|c| if is_plain(c) { c } else { '_' }).collect();
    let trimmed = plain.trim_matches(['.', ' ']);
    if trimmed.is_empty() { "file".into() } else { trimmed.chars().take(100).collect() }
}

/// What is said about a fault of the program itself.
pub(super) const BROKEN: &str = "Something broke in the program. What was saved is safe; try again.";

/// Why something was refused, in words for people. Nothing was changed then.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Refusal {
    pub status: StatusCode,
    pub text: String,
    /// A page that helps: its name and its address.
    pub way: Option<(String, String)>,
}

impl Refusal {
    pub(super) fn new(status: StatusCode, text: impl Into<String>) -> Self {
        Self { status, text: text.into(), way: None }
    }

    /// With a page that helps.
    pub(super) fn with_way(self, name: &str, address: String) -> Self {
        Self { way: Some((name.into(), address)), ..self }
    }

    /// Something that is not there.
    pub(super) fn nothing(text: impl Into<String>) -> Self {
        Self::new(StatusCode::NOT_FOUND, text)
    }

    /// Something that was typed can't be taken.
    pub(super) fn input(text: impl Into<String>) -> Self {
        Self::new(StatusCode::UNPROCESSABLE_ENTITY, text)
    }

    /// The program's words as a page says them.
    pub(super) fn words(text: &str) -> String {
        desk_words(text)
    }

    /// A fault of the program itself.
    pub(super) fn broken() -> Self {
        Self::new(StatusCode::INTERNAL_SERVER_ERROR, BROKEN)
    }
}

/// All that the program refuses says itself what was wrong and what to try.
impl<E: std::error::Error> From<E> for Refusal {
    fn from(error: E) -> Self {
        Self::input(desk_words(&with_causes(&error)))
    }
}

#[derive(Debug, Template)]
#[template(path = "refusal.html")]
struct RefusalPage {
    shell: Shell,
    text: String,
    way: Option<(String, String)>,
    /// Where it was asked.
    back: String,
}

impl Refusal {
    /// As one who is paired sees it: with the way to other pages, and the one back.
    pub(super) fn to_paired(&self, asked: &Asked) -> Response {
        let shell = Shell { is_paired: true, is_sent: asked.sends, ..self.shell() };
        let (text, way) = (self.text.clone(), self.way.clone());
        self.answer(&RefusalPage { shell, text, way, back: asked.from.clone().unwrap_or_else(|| "/".into()) })
    }

    fn shell(&self) -> Shell {
        Shell::bare(if self.status == StatusCode::NOT_FOUND { "Not found" } else { "Not done" }, Place::None)
    }

    fn answer(&self, page: &RefusalPage) -> Response {
        let html = page.render().unwrap_or_else(|_| self.text.clone());
        let kind = (header::CONTENT_TYPE, HeaderValue::from_static("text/html; charset=utf-8"));
        (self.status, [kind, (HeaderName::from_static("x-refused"), HeaderValue::from_static("1"))], html)
            .into_response()
    }
}

/// Without any way to other pages, since nobody knows here who asks: [`super::guard`] shows it to those who are paired as
/// [`Refusal::to_paired`].
impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        let page = RefusalPage { shell: self.shell(), text: self.text.clone(), way: None, back: "/".into() };
        let mut response = self.answer(&page);
        response.extensions_mut().insert(self);
        response
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_lead_to_the_desk_and_to_nowhere_else() {
        for (address, plain) in [
            ("/b/4A?x=1#end", "/b/4A?x=1#end"),
            ("//evil.example/", "/evil.example/"),
            ("/\\evil.example", "/evil.example"),
            ("https://evil.example/", "/https://evil.example/"),
            ("/a\r\nSet-Cookie: b=c", "/a%0D%0ASet-Cookie:%20b=c"),
            ("/?q=caf\u{e9}", "/?q=caf%C3%A9"),
        ] {
            assert_eq!(plain_address(address), plain);
        }
    }

    #[test]
    fn file_names_can_lead_nowhere() {
        for (name, safe) in [
            ("run 3.pdf", "run 3.pdf"),
            ("../../etc/passwd", "_.._etc_passwd"),
            ("a\"; filename=\"b.exe", "a__ filename__b.exe"),
            ("C:\\x\r\nSet-Cookie: a", "C__x__Set-Cookie_ a"),
            ("...", "file"),
        ] {
            assert_eq!(safe_name(name), safe);
        }
    }
}
