using StageView.Rig.Pieces;
using StageView.Show.Content;

namespace StageView.Show.Sources;

/// <summary>Opens the one source of levels that was named.</summary>
public static class SourceChoice
{
    /// <summary>How long the first picture of a live input is waited for.</summary>
    private static readonly TimeSpan FirstPicture = TimeSpan.FromSeconds(5);

    /// <param name="seek">Finds the place in a capture by its index instead of reading it from the start; see <see cref="CaptureShow"/>.</param>
    /// <param name="inputs">Whether the rig's live inputs are opened.</param>
    /// <exception cref="StopException">More than one was named, or it can't be used.</exception>
    public static ShowSource Open(RigScene rig, string? capture, double? listenSeconds, string? look, bool seek = false, bool inputs = false)
    {
        if (seek && capture is null)
        {
            throw StopException.Wrong("--seek finds a place in a capture: name one with --capture");
        }

        if ((capture is null ? 0 : 1) + (listenSeconds is null ? 0 : 1) + (look is null ? 0 : 1) > 1)
        {
            throw StopException.Wrong("--capture, --listen and --look exclude each other: levels come from one of them");
        }

        if (listenSeconds is { } seconds && (!double.IsFinite(seconds) || seconds is <= 0 or > 86_400))
        {
            throw StopException.Wrong("--listen takes a number of seconds above 0, at most 86400");
        }

        return WithContent(Levels(rig, capture, listenSeconds, look, seek), inputs);
    }

    /// <summary>Lays what the rig names as content over its pixels.</summary>
    /// <param name="source">Where levels come from.</param>
    /// <param name="inputs">Whether live inputs are opened.</param>
    /// <exception cref="StopException">Some of it can't be used; the source is then closed.</exception>
    public static T WithContent<T>(T source, bool inputs = false)
        where T : ShowSource
    {
        try
        {
            source.Stage.Content = ContentFile.OpenAll(source.Stage.Rig, source.StartOf, inputs, source.TrackOf);
            source.AddDoubts(inputs ? [] : [.. source.Stage.Rig.Content.Where(c => c.Input is not null)
                .Select(c => $"content \"{c.Name}\" is not shown: it is a live input, and those are opened only with --inputs")]);
            foreach (var content in source.Stage.Content)
            {
                if (content.Frames is LiveInput live && !live.Await(FirstPicture))
                {
                    source.AddDoubts([$"content \"{content.Placement.Name}\": no picture came from {content.Placement.Input!.Address} within "
                        + $"{FirstPicture.TotalSeconds:0} s{(live.State.Why is { Length: > 0 } why ? ": " + why : "")}"]);
                }
            }

            return source;
        }
        catch (StopException)
        {
            source.Dispose();
            throw;
        }
    }

    private static ShowSource Levels(RigScene rig, string? capture, double? listenSeconds, string? look, bool seek) =>
        capture is not null ? new CaptureShow(rig, capture, seek)
            : look is not null ? new LookShow(rig, look)
            : listenSeconds is { } s ? new ListenedShow(rig, TimeSpan.FromSeconds(s))
            : new StillShow(rig);
}
