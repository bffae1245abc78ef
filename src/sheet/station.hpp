#pragma once
/// A page for each person, to hang where they work: what to have ready, what to mind, and all that they do, with boxes.

#include <string>
#include <vector>

#include "oventide/sheet.hpp"
#include "sheet/source.hpp"

namespace oventide::sheet {

/// What falls to nobody, for everybody to see; empty where nothing does.
std::string nobodys_list(const Source& source);

struct Lists {
    std::string html;
    double used = 0;  ///< points of the last page
};

/// `weights`: the weigh sheet, which follows on the same page where somebody works alone.
Lists stations_section(const Source& source, const std::vector<Mind>& mind, const std::string& weights);

}  // namespace oventide::sheet
