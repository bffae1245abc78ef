#include "plan/shared_files.hpp"

#include <algorithm>
#include <utility>

#include "plan/names.hpp"

namespace oventide::plan_file {

const Node* SharedFiles::add_text(const std::filesystem::path& path, std::string_view text) {
    const auto file = static_cast<std::int32_t>(sources_.files.size());
    sources_.files.push_back({path.string(), std::string(text)});
    if (open_.empty()) open_.push_back({path.lexically_normal(), {}});
    auto document = parse_document(sources_.files.back().text, file, complaints_);
    if (!document) return nullptr;
    documents_.push_back(std::make_unique<Node>(std::move(*document)));
    return documents_.back().get();
}

std::filesystem::path SharedFiles::path_of(const Name& name) const {
    const std::filesystem::path from = sources_.files[static_cast<std::size_t>(name.place.file)].path;
    return (from.parent_path() / name.text).lexically_normal();
}

const Node* SharedFiles::read(const Name& name, const std::string& what) {
    if (!check_name(name, complaints_)) return nullptr;
    if (shared_ == Limits::shared_files) {
        complaints_.error(name.place, "more than " + std::to_string(Limits::shared_files) + " shared files");
        return nullptr;
    }
    ++shared_;
    const std::filesystem::path path = path_of(name);
    if (path == open_.front().path) {
        complain_of_loop(name, 0);
        return nullptr;
    }
    FileText text = reader_(path);
    if (!text.text) {
        complaints_.error(name.place, what + " '" + path.string() + "' cannot be read: " + text.problem);
        return nullptr;
    }
    return add_text(path, *text.text);
}

void SharedFiles::complain_of_loop(const Name& name, std::size_t from) {
    std::vector<Note> notes;
    std::string chain = open_[from].path.string();
    for (std::size_t i = from + 1; i < open_.size(); ++i) {
        notes.push_back({open_[i].named_at, "which names '" + open_[i].path.string() + "' here"});
        chain += " -> " + open_[i].path.string();
    }
    complaints_.error(name.place, "this file leads back to itself: " + chain + " -> " + open_[from].path.string(),
                      "leave this entry out", std::move(notes));
}

bool SharedFiles::read_formulas(const std::vector<Name>& names, std::vector<const Node*>& components) {
    bool all = true;
    for (const Name& name : names) {
        const std::filesystem::path path = path_of(name);
        const auto open = std::find_if(open_.begin(), open_.end(), [&](const Visit& v) { return v.path == path; });
        if (open != open_.end()) {
            complain_of_loop(name, static_cast<std::size_t>(open - open_.begin()));
            continue;
        }
        if (!formulas_.emplace(path, true).second) continue;
        const Node* document = read(name, "the file of formulas");
        if (!document) {
            all = false;
            continue;
        }
        TableReader table(*document, "a file of formulas", complaints_);
        for (const Node* component : table.tables("component", "write [[component]]")) components.push_back(component);
        open_.push_back({path, name.place});
        all = read_formulas(table.texts("formulas"), components) && all;
        open_.pop_back();
        table.finish();
    }
    return all;
}

}  // namespace oventide::plan_file
