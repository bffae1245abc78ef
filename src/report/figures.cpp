#include "report/figures.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "report/shared.hpp"

namespace oventide::report {

std::vector<ComponentIndex> unsaid(const Subject& subject) {
    std::vector<ComponentIndex> components;
    for (const Batch& batch : subject.expansion.batches)
        if (!subject.plan.components[batch.component].ingredients) components.push_back(batch.component);
    std::sort(components.begin(), components.end());
    components.erase(std::unique(components.begin(), components.end()), components.end());
    return components;
}

void add_unsaid(const Subject& subject, const Words& words, Page& page) {
    std::vector<std::string> names;
    for (const ComponentIndex component : unsaid(subject)) names.push_back(words.component(component));
    if (names.empty()) return;
    page.blank();
    page.paragraph(
        fmt::format("Not here, because the plan does not say what goes in: {}. Write ingredients = "
                    "{{ ... }}; {{}} where nothing of its own goes in.",
                    joined(names)));
}

}  // namespace oventide::report
