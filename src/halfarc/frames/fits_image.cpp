#include <algorithm>
#include <bit>

#include "halfarc/base/atomic_file.h"
#include "halfarc/frames/byte_order.h"
#include "halfarc/frames/fits_blocks.h"
#include "halfarc/frames/image_writers.h"
#include "halfarc/frames/picture_samples.h"

namespace halfarc {
namespace {

Result<void> write_plane(AtomicFile& file, const View<const float>& plane) {
  std::vector<std::uint32_t> row(static_cast<std::size_t>(plane.width()));
  for (int y = 0; y < plane.height(); ++y) {
    const float* const samples = plane.row(y);
    for (std::size_t x = 0; x < row.size(); ++x) {
      const auto bits = std::bit_cast<std::uint32_t>(samples[x]);
      row[x] = is_native(ByteOrder::big) ? bits : swap_bytes(bits);
    }
    HALFARC_CHECK(file.write(std::as_bytes(std::span(row))));
  }
  return {};
}

Result<void> write_layer(AtomicFile& file, const ImageLayer& layer, bool primary, std::span<const FitsCard> cards) {
  const View<const float>& first = layer.planes.front();
  FitsImageForm form{primary ? "" : layer.name, -32, false, {first.width(), first.height()}};
  if (layer.planes.size() > 1) form.axes.push_back(static_cast<std::int64_t>(layer.planes.size()));
  std::vector<FitsCard> all = {{"ROWORDER", "TOP-DOWN", "first row stored is the top row"}};
  if (layer.planes.size() == 3) all.push_back({"CTYPE3", "RGB", "planes red, green, blue"});
  all.insert(all.end(), cards.begin(), cards.end());
  HALFARC_TRY(const std::string header, fits_image_header(form, all));
  HALFARC_CHECK(file.write(header));
  std::uint64_t bytes = 0;
  for (const View<const float>& plane : layer.planes) {
    HALFARC_CHECK(write_plane(file, plane));
    bytes += sizeof(float) * static_cast<std::uint64_t>(plane.width()) * static_cast<std::uint64_t>(plane.height());
  }
  return file.write(fits_padding(bytes));
}

}  // namespace

Result<void> write_fits_image(const std::filesystem::path& path, std::span<const ImageLayer> layers,
                              std::span<const FitsCard> cards) {
  if (layers.empty()) return failed("has nothing to write", path.string(), "this is a mistake in halfarc");
  for (const ImageLayer& layer : layers) HALFARC_CHECK(check_planes(layer.planes, path));
  HALFARC_TRY(AtomicFile file, AtomicFile::create(path));
  for (std::size_t i = 0; i < layers.size(); ++i) {
    HALFARC_CHECK(write_layer(file, layers[i], i == 0, i == 0 ? cards : std::span<const FitsCard>{}));
  }
  return file.commit();
}

}  // namespace halfarc
