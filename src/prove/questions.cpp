#include "prove/questions.hpp"

namespace oventide::prove {

Questions::Questions(const Project& project) : model_(project) {
    if (model_.engine().propagate_root()) guide_.emplace(model_);
}

std::vector<Literal> Questions::meaning(const Hold& hold) const {
    const Term start = model_.start(hold.activity);
    std::vector<Literal> all{at_least(start, hold.earliest), at_most(start, hold.latest)};
    const auto& demands = model_.project().activities[hold.activity].demands;
    for (std::size_t k = 0; k < hold.chosen.size(); ++k)
        for (std::size_t choice = 0; choice < demands[k].choices.size(); ++choice) {
            const auto& chosen = model_.demands(hold.activity)[k].chosen[choice];
            if (chosen && demands[k].choices[choice] == hold.chosen[k]) all.push_back(*chosen);
        }
    return all;
}

/// A literal stands for the question, and all that is held follows from it.
Questions::Reply Questions::ask(const std::vector<Hold>& holds, const Schedule& near, std::int64_t nodes) {
    if (!guide_) return {};
    Engine& engine = model_.engine();
    asked_ = is_true(engine.add_flag());
    for (const Hold& hold : holds)
        for (const Literal literal : meaning(hold)) engine.add_clause({~*asked_, literal});
    guide_->keep_near(near);
    engine.construct_again();
    Budget budget{nodes};
    Reply reply{engine.search(asked_, *guide_, budget), {}};
    if (reply.answer == Answer::found) reply.schedule = model_.read_schedule();
    engine.backtrack();
    return reply;
}

void Questions::keep() {
    if (asked_) model_.engine().add_clause({*asked_});
}

}  // namespace oventide::prove
