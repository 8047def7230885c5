// BandedFourier: Fourier transforms of pictures that hold nothing finer than a limit along x, and of small patches.
//
// A telescope passes no detail beyond its cut-off, so a part of every image's spectrum is empty, and the image of a
// point fills only a small part of the picture. Leaving out what is known to be nothing saves more than a third of the
// work of fourier.h. Same signs as there; nothing is normalised: inverse(forward(f)) is f times width times height.
//
// A band spectrum holds the columns kx = 0 .. band - 1 of the half spectrum, one column after another: value (kx, ky)
// at kx * pitch() + ky. Buffers are aligned to 64 bytes. Plans are chosen by rule: the same bytes every time. An object
// may be used by many threads at once, each with its own Scratch. Valid: 1 <= band <= width / 2. Accuracy: that of
// fourier.h. Source: [Frigo2005].
#pragma once

#include <complex>
#include <cstddef>
#include <functional>
#include <memory>

namespace halfarc {

// Which rows of a picture are wanted: first, first + step, ... (all by default).
struct RowChoice {
  int first = 0;
  int step = 1;
};

class BandedFourier {
 public:
  BandedFourier(int width, int height, int band);

  int width() const { return width_; }
  int height() const { return height_; }
  int band() const { return band_; }
  int pitch() const { return pitch_; }  // at least height, a multiple of 8
  std::size_t bins() const { return static_cast<std::size_t>(band_) * static_cast<std::size_t>(pitch_); }

  class Scratch;
  std::shared_ptr<Scratch> make_scratch() const;

  // The spectrum of a picture that is empty but for a size x size patch wrapped about sample (0, 0). `patch` has its
  // own sample (0, 0) first. Valid: size even, at most width and height.
  void forward_patch(const float* patch, int size, std::complex<float>* spectrum, Scratch& scratch) const;

  // What happens to a column of the spectrum, height() values, between the way there and the way back.
  using Filter = std::function<void(int column, std::complex<float>* values)>;

  // forward_patch, `filter` on every column, and inverse in one, each column done while it is at hand: quicker.
  // `spectrum` is scratch.
  void filter_patch(const float* patch, int size, const Filter& filter, std::complex<float>* spectrum, float* picture,
                    Scratch& scratch, RowChoice rows = {}) const;

  // The picture, width x height, or only some of its rows: the others are left as they are. `spectrum` is overwritten.
  void inverse(std::complex<float>* spectrum, float* picture, Scratch& scratch, RowChoice rows = {}) const;

 private:
  struct Plans;
  // The passes of the above: rows of a patch into the columns, columns there and back, rows back.
  void spread_rows(const float* patch, int size, std::complex<float>* spectrum, Scratch& scratch) const;
  void forward_column(std::complex<float>* column, int patch_size) const;
  void inverse_column(std::complex<float>* column, RowChoice rows) const;
  void gather_rows(const std::complex<float>* spectrum, float* picture, Scratch& scratch, RowChoice rows) const;
  // Of every second row alone the columns back are half as long.
  int sparse(RowChoice rows) const { return rows.step == 2 && height_ % 2 == 0 ? 2 : 1; }
  std::complex<float>* column_of(std::complex<float>* spectrum, int column) const {
    return spectrum + static_cast<std::ptrdiff_t>(column) * pitch_;
  }

  int width_;
  int height_;
  int band_;
  int pitch_;
  std::shared_ptr<const Plans> plans_;
};

}  // namespace halfarc
