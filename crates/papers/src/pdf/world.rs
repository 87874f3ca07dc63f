//! What the typesetter may see: the template, the data, the drawings, the built-in typefaces and the paper's date.

use super::page_data::PageData;
use jiff::civil::Date;
use std::collections::HashMap;
use std::sync::LazyLock;
use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{DiagSpan, FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Feature, Features, Library, LibraryExt as _, World};
use typst_kit::fonts::FontStore;

const TEMPLATE: &str = include_str!("sheet.typ");

/// What is the same for every paper.
struct Shop {
    library: LazyHash<Library>,
    fonts: FontStore,
}

static SHOP: LazyLock<Shop> = LazyLock::new(|| {
    let mut fonts = FontStore::new();
    fonts.extend(typst_kit::fonts::embedded());
    // Row heads of tables stand behind this switch of the typesetter.
    let features: Features = [Feature::A11yExtras].into_iter().collect();
    let library = Library::builder().with_features(features).build();
    Shop {
        library: LazyHash::new(library),
        fonts,
    }
});

/// The built-in typefaces.
pub(super) fn typefaces() -> &'static FontBook {
    SHOP.fonts.book()
}

/// A file in memory.
struct File {
    bytes: Bytes,
    figure: Option<usize>,
}

/// One paper on the typesetter's desk.
pub(super) struct Desk {
    template: Source,
    files: HashMap<FileId, File>,
    date: Date,
}

impl Desk {
    pub(super) fn new(page: PageData, date: Date) -> Self {
        let figures = (1..).zip(page.figures).map(|(number, file)| (Some(number), file));
        let others = page
            .signs
            .into_iter()
            .chain([("data.json".to_owned(), page.json)]);
        let files = figures
            .chain(others.map(|file| (None, file)))
            .filter_map(|(figure, (name, content))| {
                let bytes = Bytes::from_string(content);
                Some((file_id(&name)?, File { bytes, figure }))
            })
            .collect();
        Self {
            template: Source::detached(TEMPLATE),
            files,
            date,
        }
    }

    /// The number of the figure that a place in a file belongs to.
    pub(super) fn figure_at(&self, place: DiagSpan) -> Option<usize> {
        self.files.get(&place.id()?)?.figure
    }
}

/// All names are our own and short, so there is always an id.
fn file_id(name: &str) -> Option<FileId> {
    let path = VirtualPath::new(name).ok()?;
    Some(RootedPath::new(VirtualRoot::Project, path).intern())
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &SHOP.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        SHOP.fonts.book()
    }

    fn main(&self) -> FileId {
        self.template.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.template.id() {
            Ok(self.template.clone())
        } else {
            Err(FileError::AccessDenied)
        }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.files
            .get(&id)
            .map(|file| file.bytes.clone())
            .ok_or(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        SHOP.fonts.font(index)
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        let month = u8::try_from(self.date.month()).ok()?;
        let day = u8::try_from(self.date.day()).ok()?;
        Datetime::from_ymd(i32::from(self.date.year()), month, day)
    }
}
