using SkiaSharp;
using StageView.Show.Questions;

namespace StageView.Show.Tests.Content;

/// <summary>Content that starts at a timecode, as questions about light see it.</summary>
public sealed class ContentTimeTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    // The demo's capture carries timecode from 01:00:00:00 on.
    [Theory]
    [InlineData("tc:01:00:02:00", "show", 1.9, false, true)]
    [InlineData("tc:01:00:02:00", "show", 2.1, true, true)]
    [InlineData("tc:09:00:00:00", "show", 2.1, false, false)]
    [InlineData("tc:01:00:02:00", "timecode", 1.9, false, true)]
    [InlineData("tc:00:59:58:00", "timecode", .5, true, true)]
    [InlineData("tc:01:00:00:29", "timecode", 2.1, false, false)]
    public void It_shows_from_there_on(string start, string clock, double at, bool lit, bool clean)
    {
        using (var white = new SKBitmap(1, 1))
        {
            white.SetPixel(0, 0, SKColors.White);
            using var file = File.Create(Path.Combine(_folder.Path, "white.png"));
            white.Encode(file, SKEncodedImageFormat.Png, 100);
        }

        _folder.File("strip.fixture.jsonc", """
            {
              "name": "Strip",
              "geometry": [{ "name": "face", "pixels": { "columns": 4, "rows": 1, "size": [1, 0.1], "luminance": 1000 } }],
              "modes": [{ "name": "Pixels", "channels": [], "pixels": [{ "geometry": "face" }] }]
            }
            """);
        var rig = _folder.File("a.rig.jsonc", $$"""
            {
              "hangs": [{ "name": "strip", "profile": "strip", "at": [0, 0, 4] }],
              "content": [
                { "name": "c", "file": "white.png", "corner": [-2, -2, 4], "across": [4, 0, 0], "down": [0, 4, 0], "luminance": 800, "start": "{{start}}",
                  "clock": "{{clock}}", "facingAway": "mirrored" }
              ]
            }
            """);
        using var question = LightQuestion.Open(new LightAsked
        {
            Rig = rig, Capture = Path.Combine(Repo.Root, "scenes", "foundry", "foundry.pcapng"), At = FormattableString.Invariant($"{at}"),
        });
        var moment = question.Moment();
        Assert.Equal(lit, moment.Pixels.Span[0].X > 700);
        Assert.Equal(clean, !question.Doubtful);
    }
}
