#include "oventide/check.hpp"

namespace oventide {

const char* rule_name(Rule rule) {
    switch (rule) {
        case Rule::duration:
            return "duration";
        case Rule::order:
            return "order";
        case Rule::equipment:
            return "equipment";
        case Rule::oven:
            return "oven";
        case Rule::crew:
            return "crew";
        case Rule::closed:
            return "closed";
        case Rule::pickup:
            return "pickup";
        case Rule::freshness:
            return "freshness";
        case Rule::safety:
            return "safety";
        case Rule::amounts:
            return "amounts";
        case Rule::beginning:
            return "beginning";
        case Rule::horizon:
            return "horizon";
        case Rule::record:
            return "record";
    }
    return "unknown";
}

}  // namespace oventide
