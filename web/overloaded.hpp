// Overloaded: one visitor of a variant, made of a lambda for each alternative.
#pragma once

namespace four76 {

template <class... Handlers>
struct Overloaded : Handlers... {
  using Handlers::operator()...;
};
template <class... Handlers>
Overloaded(Handlers...) -> Overloaded<Handlers...>;

}  // namespace four76
