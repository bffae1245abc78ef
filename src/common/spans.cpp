#include "common/spans.hpp"

#include <algorithm>

namespace oventide {

std::vector<Span> merged(std::vector<Span> spans) {
    std::ranges::sort(spans, {}, &Span::from);
    std::vector<Span> result;
    for (const Span& span : spans) {
        if (span.from >= span.to) continue;
        if (!result.empty() && span.from <= result.back().to)
            result.back().to = std::max(result.back().to, span.to);
        else
            result.push_back(span);
    }
    return result;
}

}  // namespace oventide
