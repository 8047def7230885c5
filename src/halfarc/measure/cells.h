// Cells: a frame folded into squares of 16 x 16 samples, kept apart by the four sites of a mosaic.
//
// A cell's mean is sixteen times quieter than a sample, so that background, object and faint veils are plain in it.
// Cells on the right and lower edge may be smaller.
#pragma once

#include <array>
#include <vector>

namespace halfarc {

constexpr int kCell = 16;

struct CellBox {  // cells [x0, x1) x [y0, y1)
  int x0 = 0, y0 = 0, x1 = 0, y1 = 0;
  bool empty() const { return x0 >= x1 || y0 >= y1; }
};

class Cells {
 public:
  Cells(int width, int height);

  int columns() const { return columns_; }
  int rows() const { return rows_; }
  std::size_t count() const { return sums_.size(); }
  std::size_t at(int x, int y) const {
    return static_cast<std::size_t>(y) * static_cast<std::size_t>(columns_) + static_cast<std::size_t>(x);
  }

  std::array<float, 4>& sums(std::size_t i) { return sums_[i]; }
  const std::array<float, 4>& sums(std::size_t i) const { return sums_[i]; }
  float samples(std::size_t i, int site) const { return samples_[i][static_cast<std::size_t>(site)]; }
  // Sum and number of samples over the sites.
  float total(std::size_t i) const { return sums_[i][0] + sums_[i][1] + sums_[i][2] + sums_[i][3]; }
  float samples(std::size_t i) const { return all_samples_[i]; }
  // Whether the cell is large enough to have a say about the sky: slivers on the edges are too noisy.
  bool counts(std::size_t i) const { return counts_[i] != 0; }
  // Mean of each cell as of the last call of average(), all sites together.
  float mean(std::size_t i) const { return means_[i]; }
  void average();

 private:
  int columns_ = 0;
  int rows_ = 0;
  std::vector<std::array<float, 4>> sums_;
  std::vector<std::array<float, 4>> samples_;
  std::vector<float> all_samples_;
  std::vector<char> counts_;
  std::vector<float> means_;
};

// The cells that show the sky, ascending, at least one: those at the low end of the range, so that they are found
// when the disc fills most of the frame and are not lifted by its halo. With `noise` the rms of a whole cell's mean,
// the level found lies about 0.1 noise below the sky's. Valid: no sample is NaN. `scratch` spares allocations.
void background_cells(const Cells& cells, float noise, std::vector<float>& scratch, std::vector<std::size_t>& found);

// An object: the connected cells (by side or corner) above `threshold` (mean of a cell) with the largest sum above
// `background`.
struct CellGroup {
  CellBox box;  // tight
  std::size_t cells = 0;
  double excess = 0.0;  // sum above background over its cells
};
CellGroup brightest_group(const Cells& cells, double background, double threshold, std::vector<int>& scratch);

}  // namespace halfarc
