#include "expand/slug.hpp"

#include <unordered_set>

namespace oventide::expansion {
namespace {

bool is_separator(unsigned char c) {
    const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
    const bool digit = c >= '0' && c <= '9';
    return c < 0x80 && !letter && !digit;
}

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

}  // namespace

std::string slug(std::string_view name) {
    std::string result;
    bool separated = false;
    for (const char c : name) {
        if (is_separator(static_cast<unsigned char>(c))) {
            separated = true;
            continue;
        }
        if (separated && !result.empty()) result += '-';
        separated = false;
        result += lower(c);
    }
    return result.empty() ? "x" : result;
}

std::vector<std::string> distinct_slugs(const std::vector<std::string_view>& names) {
    std::vector<std::string> result;
    std::unordered_set<std::string> taken;
    for (const std::string_view name : names) {
        const std::string base = slug(name);
        std::string candidate = base;
        for (int number = 2; !taken.insert(candidate).second; ++number) candidate = base + '-' + std::to_string(number);
        result.push_back(candidate);
    }
    return result;
}

}  // namespace oventide::expansion
