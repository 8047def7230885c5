// Plane and View: the two image types of the house.
//
// A Plane<T> owns one grid of samples (move only; a copy is asked for by name). A View<T> looks at samples that
// somebody else owns; View<const T> may not change them. Sample (x, y) lies at column x, row y, row 0 on top;
// rows are contiguous, one after another `stride` samples apart.
#pragma once

#include <algorithm>
#include <cstddef>
#include <memory>
#include <new>
#include <span>
#include <type_traits>
#include <utility>

namespace halfarc {

template <class T>
class View {
 public:
  View() = default;
  View(T* data, int width, int height, std::ptrdiff_t stride)
      : data_(data), width_(width), height_(height), stride_(stride) {}
  View(T* data, int width, int height) : View(data, width, height, width) {}
  // A view that may write can be read through.
  template <class U>
  requires std::is_same_v<T, const U> View(View<U> other)
      : View(other.data(), other.width(), other.height(), other.stride()) {}

  T* data() const { return data_; }
  int width() const { return width_; }
  int height() const { return height_; }
  std::ptrdiff_t stride() const { return stride_; }
  bool empty() const { return width_ <= 0 || height_ <= 0; }
  T* row(int y) const { return data_ + y * stride_; }
  T& operator()(int x, int y) const { return row(y)[x]; }
  bool contains(int x, int y) const { return x >= 0 && y >= 0 && x < width_ && y < height_; }

  // The part [x, x+width) x [y, y+height), which must lie inside.
  View part(int x, int y, int width, int height) const { return View(row(y) + x, width, height, stride_); }

 private:
  T* data_ = nullptr;
  int width_ = 0;
  int height_ = 0;
  std::ptrdiff_t stride_ = 0;
};

template <class T>
class Plane {
 public:
  static constexpr std::size_t kAlignment = 64;

  Plane() = default;
  // All samples zero.
  Plane(int width, int height) : width_(width), height_(height), samples_(allocate(count())) {
    std::fill_n(samples_.get(), count(), T{});
  }
  Plane(Plane&& other) noexcept { swap(other); }
  Plane& operator=(Plane&& other) noexcept {
    Plane moved(std::move(other));
    swap(moved);
    return *this;
  }

  Plane copy() const {
    Plane other(width_, height_);
    std::copy_n(samples_.get(), count(), other.samples_.get());
    return other;
  }

  int width() const { return width_; }
  int height() const { return height_; }
  bool empty() const { return count() == 0; }
  std::size_t count() const { return static_cast<std::size_t>(width_) * static_cast<std::size_t>(height_); }
  T* data() { return samples_.get(); }
  const T* data() const { return samples_.get(); }
  std::span<T> samples() { return {samples_.get(), count()}; }
  std::span<const T> samples() const { return {samples_.get(), count()}; }
  T* row(int y) { return samples_.get() + static_cast<std::ptrdiff_t>(y) * width_; }
  const T* row(int y) const { return samples_.get() + static_cast<std::ptrdiff_t>(y) * width_; }
  T& operator()(int x, int y) { return row(y)[x]; }
  const T& operator()(int x, int y) const { return row(y)[x]; }

  View<T> view() { return {samples_.get(), width_, height_}; }
  View<const T> view() const { return {samples_.get(), width_, height_}; }
  operator View<T>() { return view(); }
  operator View<const T>() const { return view(); }

 private:
  struct Free {
    void operator()(T* p) const { ::operator delete(p, std::align_val_t(kAlignment)); }
  };
  static T* allocate(std::size_t n) {
    static_assert(std::is_trivially_copyable_v<T>);
    return n == 0 ? nullptr : static_cast<T*>(::operator new(n * sizeof(T), std::align_val_t(kAlignment)));
  }
  void swap(Plane& other) noexcept {
    std::swap(width_, other.width_);
    std::swap(height_, other.height_);
    std::swap(samples_, other.samples_);
  }

  int width_ = 0;
  int height_ = 0;
  std::unique_ptr<T, Free> samples_;
};

}  // namespace halfarc
