#pragma once
/// The files of a plan: the plan itself, the kitchen and the formulas that it names, and what those name in turn.

#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oventide/plan_file.hpp"
#include "plan/complaints.hpp"
#include "plan/document.hpp"
#include "plan/table_reader.hpp"

namespace oventide::plan_file {

class SharedFiles {
public:
    SharedFiles(Sources& sources, const FileReader& reader, Complaints& complaints)
        : sources_(sources), reader_(reader), complaints_(complaints) {}

    /// The tree of a text that is at hand.
    const Node* add_text(const std::filesystem::path& path, std::string_view text);
    /// The tree of the file that `name`, standing in file `from`, names; null when it cannot be had, which has been
    /// told.
    const Node* read(const Name& name, const std::string& what);

    /// Every `[[component]]` of the files that these names lead to, each file once. False when one could not be read.
    bool read_formulas(const std::vector<Name>& names, std::vector<const Node*>& components);

private:
    struct Visit {
        std::filesystem::path path;
        Place named_at;
    };

    std::filesystem::path path_of(const Name& name) const;
    void complain_of_loop(const Name& name, std::size_t from);

    Sources& sources_;
    const FileReader& reader_;
    Complaints& complaints_;
    std::vector<std::unique_ptr<Node>> documents_;
    std::map<std::filesystem::path, bool> formulas_;  ///< read, or being read
    std::vector<Visit> open_;                         ///< the chain of files that led here
    int shared_ = 0;
};

}  // namespace oventide::plan_file
