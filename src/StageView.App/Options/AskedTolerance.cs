using System.CommandLine;
using StageView.Show;
using StageView.Snapshot.Compare;
using StageView.Snapshot.Frames;

namespace StageView.App.Options;

/// <summary>The tolerance options that verbs share.</summary>
internal sealed class AskedTolerance
{
    private readonly Option<string?> _mode =
        new("--mode") { Description = "levels: the largest channel difference (default). perceptual: what an eye tells apart.", HelpName = "MODE" };
    private readonly Option<string?> _renderer = RendererOption.Build();
    private readonly Option<int?> _levels = new("--levels") { Description = "Largest difference of a channel that passes, 0 to 255.", HelpName = "N" };
    private readonly Option<double?> _block =
        new("--block-levels")
        {
            Description = "Largest shift of the mean of 32 x 32 pixels that passes, levels; of 64 x 64 and 128 x 128 pixels .6 and .4 of it.",
            HelpName = "N",
        };
    private readonly Option<bool> _edges = new("--edges-count") { Description = "Count jitter of edges as a change." };
    private readonly Option<double?> _share = new("--changed-share") { Description = "Share of the frame that may change, 0 to 1.", HelpName = "SHARE" };
    private readonly Option<double?> _perceptual =
        new("--perceptual") { Description = "Largest OKLab distance that passes in perceptual mode; black to white is 1.", HelpName = "D" };
    private readonly Option<string?> _mask = new("--mask") { Description = "A picture whose black pixels are not compared.", HelpName = "PNG" };

    public void AddTo(Command command)
    {
        foreach (var option in new Option[] { _renderer, _mode, _levels, _block, _edges, _share, _perceptual, _mask })
        {
            command.Options.Add(option);
        }
    }

    public TolerancePart Read(ParseResult parse) => new()
    {
        Renderer = RendererOption.Read(parse.GetValue(_renderer)),
        Mode = parse.GetValue(_mode) switch
        {
            null => null,
            "levels" => CompareMode.Levels,
            "perceptual" => CompareMode.Perceptual,
            var other => throw StopException.Wrong($"--mode {other} is not known: levels or perceptual"),
        },
        Levels = parse.GetValue(_levels),
        BlockLevels = parse.GetValue(_block),
        ForgiveEdges = parse.GetValue(_edges) ? false : null,
        ChangedShare = parse.GetValue(_share),
        Perceptual = parse.GetValue(_perceptual),
        // The mask is named from where the user stands.
        Mask = parse.GetValue(_mask) is { } mask ? Path.GetFullPath(mask) : null,
    };
}
