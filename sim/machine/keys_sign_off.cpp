#include <fmt/format.h>

#include "sim/machine/key_rows.hpp"

/// The table of keys: who signs for what the file accepts, excludes and states of safety.
namespace ovenproof::machine::rows {

namespace {

Key part(std::string_view name, TextForm form, double most, std::string SignOff::*member,
         std::string_view what) {
  Key key;
  key.path = fmt::format("sign_off.{}", name);
  key.kind = KeyKind::text;
  key.form = form;
  key.minimum = 1;
  key.maximum = most;
  key.what = what;
  key.source = "the person who is responsible for the machine";
  key.get_texts = [member](const Machine& m, std::size_t) {
    const std::string& text = m.sign_off.*member;
    return text.empty() ? std::vector<std::string>{} : std::vector<std::string>{text};
  };
  key.put_texts = [member](Machine& m, std::size_t, std::vector<std::string> texts) {
    m.sign_off.*member = std::move(texts.front());
  };
  return key;
}

}  // namespace

std::vector<Key> sign_off_keys() {
  return {
      part("by", TextForm::any, 120, &SignOff::by,
           "who signs for the accepted and excluded failure modes and the data of `safety`"),
      part("date", TextForm::date, 10, &SignOff::date, "when"),
      part("machine", TextForm::any, 120, &SignOff::machine, "for which machine: its `name`"),
      part("digest", TextForm::digest, 32, &SignOff::digest,
           "of the machine that was signed for, as `ovenproof check --digest` prints it: a copy "
           "and a changed machine have another"),
  };
}

}  // namespace ovenproof::machine::rows
