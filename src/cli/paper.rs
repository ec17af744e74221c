//! Opens the papers that a command names: orders, receipts, invoices, the shop and the supplier. Compares nothing.

use crate::cli::failure::Failure;
use crate::files;
use crate::intake::{self, Delivered};
use crate::model::invoice::Invoice;
use crate::model::order::Order;
use crate::model::problem::Problem;
use crate::model::receipt::Receipt;
use crate::model::shop::Shop;
use crate::model::spot::Spot;
use crate::model::supplier::Supplier;
use std::iter;
use std::path::{Path, PathBuf};

/// The papers of one check.
#[derive(Debug)]
pub struct Papers {
    /// The order.
    pub order: Order,
    /// Its receipts.
    pub receipts: Vec<Receipt>,
    /// Its invoices.
    pub invoices: Vec<Invoice>,
    /// The supplier, where its file was found.
    pub supplier: Option<Supplier>,
    /// The shop, where its file was found.
    pub shop: Option<Shop>,
    /// The shop's folder, where it was found.
    pub folder: Option<PathBuf>,
}

/// Opens lone files. The shop's folder is the one named, else the nearest of
/// the two above the order's that has a shop.yaml.
///
/// # Errors
/// All problems of all files; a file that cannot be read.
pub fn open(order: &Path, others: &[PathBuf], folder: Option<&Path>) -> Result<Papers, Failure> {
    let mut problems = Vec::new();
    let order_record = read(order, intake::order, &mut problems)?;
    let mut receipts = Vec::new();
    let mut invoices = Vec::new();
    for path in others {
        let text = files::read_text(path)?;
        let name = path.display().to_string();
        match intake::receipt_or_invoice(&name, &text) {
            Ok(Delivered::Receipt(receipt)) => receipts.push(receipt),
            Ok(Delivered::Invoice(invoice)) => invoices.push(invoice),
            Err(more) => problems.extend(more),
        }
    }
    let folder = match folder {
        Some(folder) => Some(folder.to_path_buf()),
        None => folders_above(order).find(|folder| folder.join("shop.yaml").is_file()),
    };
    let shop_file = folder.as_ref().map(|folder| folder.join("shop.yaml"));
    let shop = match shop_file.filter(|file| file.is_file()) {
        Some(file) => read(&file, intake::shop, &mut problems)?,
        None => None,
    };
    let supplier_file = folder
        .as_ref()
        .zip(order_record.as_ref())
        .map(|(folder, order)| {
            folder
                .join("suppliers")
                .join(format!("{}.yaml", order.supplier))
        });
    let supplier = match supplier_file.filter(|file| file.is_file()) {
        Some(file) => read(&file, intake::supplier, &mut problems)?,
        None => None,
    };
    match order_record {
        Some(order) if problems.is_empty() => Ok(Papers {
            order,
            receipts,
            invoices,
            supplier,
            shop,
            folder,
        }),
        Some(_) | None => Err(Failure::Problems(problems)),
    }
}

/// Reads one file; its problems are added to the others.
///
/// # Errors
/// The file cannot be read.
pub fn read<T>(
    path: &Path,
    record: fn(&str, &str) -> Result<T, Vec<Problem>>,
    problems: &mut Vec<Problem>,
) -> Result<Option<T>, Failure> {
    let text = files::read_text(path)?;
    match record(&path.display().to_string(), &text) {
        Ok(record) => Ok(Some(record)),
        Err(more) => {
            problems.extend(more);
            Ok(None)
        }
    }
}

/// `shop/orders/PO.yaml` belongs to `shop`, and so does `shop/orders/2026/PO.yaml`: the folder above the order's, then the
/// one above that.
fn folders_above(order: &Path) -> impl Iterator<Item = PathBuf> {
    let own = order.parent().map(Path::to_path_buf);
    iter::successors(own.as_deref().and_then(above), |folder| above(folder)).take(2)
}

/// Returns the folder above one, as a path from where we stand.
fn above(folder: &Path) -> Option<PathBuf> {
    if folder.as_os_str().is_empty() || folder == Path::new(".") {
        return Some(PathBuf::from(".."));
    }
    if folder.ends_with("..") {
        return Some(folder.join(".."));
    }
    folder.parent().map(|above| {
        if above.as_os_str().is_empty() {
            PathBuf::from(".")
        } else {
            above.to_path_buf()
        }
    })
}

/// Makes a problem about a whole file.
pub fn file_problem(path: &Path, text: impl Into<String>) -> Problem {
    let spot = Spot {
        file: path.display().to_string().into(),
        line: 1,
        column: 1,
    };
    Problem::new(&spot, text)
}
