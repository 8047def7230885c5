#include "plain_pipeline.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <opencv2/imgproc.hpp>

#include "halfarc/base/stopwatch.h"

namespace halfarc::bench {
namespace {

constexpr int kPatch = 48, kStep = 48, kReach = 4;

// OpenCV names a mosaic by the colours one row down and one column right of the first.
int demosaic_code(Mosaic m) {
  switch (m) {
    case Mosaic::grbg:
      return cv::COLOR_BayerGB2RGB;
    case Mosaic::gbrg:
      return cv::COLOR_BayerGR2RGB;
    case Mosaic::bggr:
      return cv::COLOR_BayerRG2RGB;
    default:
      return cv::COLOR_BayerBG2RGB;
  }
}

struct Frame {
  cv::Mat colour;  // CV_32FC3, red first
  cv::Mat grey;    // CV_32F
};

Result<Frame> demosaiced(const Recording& recording, std::size_t number) {
  const RecordingInfo& info = recording.info();
  cv::Mat raw(info.height, info.width, info.sample == Sample::u8 ? CV_8U : CV_16U);
  HALFARC_CHECK(recording.read(number, 1, {reinterpret_cast<std::byte*>(raw.data), info.bytes_per_frame()}));
  Frame frame;
  cv::Mat colour;
  cv::demosaicing(raw, colour, demosaic_code(info.mosaic));
  colour.convertTo(frame.colour, CV_32F);
  cv::cvtColor(frame.colour, frame.grey, cv::COLOR_RGB2GRAY);
  return frame;
}

double grade(const cv::Mat& grey) {
  cv::Mat smooth, edges;
  cv::GaussianBlur(grey, smooth, {}, 1.5);
  cv::Laplacian(smooth, edges, CV_32F);
  cv::Scalar mean, scatter;
  cv::meanStdDev(edges, mean, scatter);
  return scatter[0];
}

cv::Mat map_of(const cv::Mat& reference, const cv::Mat& grey, cv::Point2d shift, bool patches) {
  const int w = grey.cols, h = grey.rows;
  cv::Mat map(h, w, CV_32FC2);
  cv::Mat local;
  if (patches) {
    const int across = (w - kPatch) / kStep + 1, down = (h - kPatch) / kStep + 1;
    cv::Mat grid(down, across, CV_32FC2, cv::Scalar(0.0, 0.0));
    for (int j = 0; j < down; ++j) {
      for (int i = 0; i < across; ++i) {
        const cv::Rect part(i * kStep, j * kStep, kPatch, kPatch);
        const cv::Mat wanted = reference(part);
        cv::Scalar mean, scatter;
        cv::meanStdDev(wanted, mean, scatter);
        const cv::Rect field(part.x + static_cast<int>(std::lround(shift.x)) - kReach,
                             part.y + static_cast<int>(std::lround(shift.y)) - kReach, kPatch + 2 * kReach,
                             kPatch + 2 * kReach);
        if (scatter[0] < 4.0 || (field & cv::Rect(0, 0, w, h)) != field) continue;
        cv::Mat match;
        cv::matchTemplate(grey(field), wanted, match, cv::TM_CCOEFF_NORMED);
        cv::Point best;
        cv::minMaxLoc(match, nullptr, nullptr, nullptr, &best);
        grid.at<cv::Vec2f>(j, i) = {static_cast<float>(best.x - kReach), static_cast<float>(best.y - kReach)};
      }
    }
    cv::GaussianBlur(grid, grid, {3, 3}, 0.8);
    cv::resize(grid, local, {w, h}, 0, 0, cv::INTER_LINEAR);
  }
  for (int y = 0; y < h; ++y) {
    for (int x = 0; x < w; ++x) {
      cv::Vec2f at(static_cast<float>(x + shift.x), static_cast<float>(y + shift.y));
      if (patches) at += local.at<cv::Vec2f>(y, x);
      map.at<cv::Vec2f>(y, x) = at;
    }
  }
  return map;
}

}  // namespace

Result<PlainStack> plain_stack(const Recording& recording, std::size_t frames, double kept, bool patches,
                               Threads threads) {
  cv::setNumThreads(1);  // frames are shared out instead
  Stopwatch watch;
  frames = std::min(frames, recording.info().frames);
  std::vector<double> grades(frames);
  parallel_for(frames, threads, [&](std::size_t i) {
    if (const auto frame = demosaiced(recording, i)) grades[i] = grade(frame->grey);
  });
  std::vector<std::size_t> order(frames);
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return grades[a] > grades[b]; });
  order.resize(std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(kept * static_cast<double>(frames)))));

  HALFARC_TRY(const Frame first, demosaiced(recording, order.front()));
  cv::Mat reference = first.grey.clone(), window;
  cv::createHanningWindow(window, reference.size(), CV_32F);
  cv::Mat sum;
  for (int round = 0; round < 2; ++round) {  // the second time against the mean of the first
    const auto chunks = static_cast<std::size_t>(std::max(1, threads.count));
    std::vector<cv::Mat> sums(chunks);
    parallel_for(chunks, threads, [&](std::size_t c) {
      sums[c] = cv::Mat::zeros(reference.size(), CV_32FC3);
      for (std::size_t i = c; i < order.size(); i += chunks) {
        const auto frame = demosaiced(recording, order[i]);
        if (!frame) continue;
        const cv::Point2d shift = cv::phaseCorrelate(reference, frame->grey, window);
        cv::Mat moved;
        cv::remap(frame->colour, moved, map_of(reference, frame->grey, shift, patches && round == 1), cv::noArray(),
                  cv::INTER_LINEAR, cv::BORDER_REPLICATE);
        sums[c] += moved;
      }
    });
    sum = sums[0].clone();
    for (std::size_t c = 1; c < chunks; ++c) sum += sums[c];
    sum /= static_cast<double>(order.size());
    cv::cvtColor(sum, reference, cv::COLOR_RGB2GRAY);
  }
  PlainStack stack;
  for (std::size_t c = 0; c < 3; ++c) {
    stack.mean[c] = Plane<float>(sum.cols, sum.rows);
    for (int y = 0; y < sum.rows; ++y) {
      for (int x = 0; x < sum.cols; ++x) stack.mean[c](x, y) = sum.at<cv::Vec3f>(y, x)[static_cast<int>(c)];
    }
  }
  stack.seconds = watch.lap();
  return stack;
}

Plane<float> plain_sharpened(const Plane<float>& plane, double sigma, int iterations) {
  cv::Mat have(plane.height(), plane.width(), CV_32F);
  for (int y = 0; y < have.rows; ++y) std::copy_n(plane.row(y), have.cols, have.ptr<float>(y));
  double sky = 0.0;
  cv::minMaxLoc(have, &sky);
  have = have - sky + 1.0;
  cv::Mat guess = have.clone(), blurred, ratio;
  for (int i = 0; i < iterations; ++i) {
    cv::GaussianBlur(guess, blurred, {}, sigma);
    cv::divide(have, blurred, ratio);
    cv::GaussianBlur(ratio, ratio, {}, sigma);
    guess = guess.mul(ratio);
  }
  Plane<float> out(plane.width(), plane.height());
  for (int y = 0; y < have.rows; ++y) std::copy_n(guess.ptr<float>(y), have.cols, out.row(y));
  return out;
}

double remap_and_add_seconds(int width, int height) {
  cv::setNumThreads(1);
  cv::Mat frame(height, width, CV_32FC3, cv::Scalar(1.0, 2.0, 3.0)), sum = cv::Mat::zeros(height, width, CV_32FC3), map,
                                                                     moved;
  map.create(height, width, CV_32FC2);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      map.at<cv::Vec2f>(y, x) = {static_cast<float>(x) + 0.3F, static_cast<float>(y) - 0.2F};
    }
  }
  constexpr int times = 50;
  Stopwatch watch;
  for (int i = 0; i < times; ++i) {
    cv::remap(frame, moved, map, cv::noArray(), cv::INTER_LINEAR, cv::BORDER_REPLICATE);
    sum += moved;
  }
  return watch.lap() / times;
}

}  // namespace halfarc::bench
