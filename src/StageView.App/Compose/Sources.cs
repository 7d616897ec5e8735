using StageView.App.Video;
using StageView.Rig;

namespace StageView.App.Compose;

/// <summary>Opens the one source of levels that was named.</summary>
internal static class Sources
{
    /// <exception cref="StopException">More than one was named, or it can't be used.</exception>
    public static LevelSource Open(RigScene rig, string? capture, double? listenSeconds, string? look)
    {
        if ((capture is null ? 0 : 1) + (listenSeconds is null ? 0 : 1) + (look is null ? 0 : 1) > 1)
        {
            throw StopException.Wrong("--capture, --listen and --look exclude each other: levels come from one of them");
        }

        if (listenSeconds is { } seconds && (!double.IsFinite(seconds) || seconds is <= 0 or > 86_400))
        {
            throw StopException.Wrong("--listen takes a number of seconds above 0, at most 86400");
        }

        var source = Levels(rig, capture, listenSeconds, look);
        try
        {
            source.Stage.Content = ContentFile.OpenAll(rig);
        }
        catch (StopException)
        {
            source.Dispose();
            throw;
        }

        return source;
    }

    private static LevelSource Levels(RigScene rig, string? capture, double? listenSeconds, string? look) =>
        capture is not null ? new CaptureShow(rig, capture)
            : look is not null ? new LookShow(rig, look)
            : listenSeconds is { } s ? new ListenedShow(rig, TimeSpan.FromSeconds(s))
            : new StillShow(rig);
}
