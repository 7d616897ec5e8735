namespace StageView.Stage.Content;

/// <summary>Frames of one piece of content, by their time since its start. The same time gives the same frame, whatever was asked before.</summary>
public interface IContentFrames
{
    /// <summary>The frame that stands at <paramref name="sinceStart"/>; null after the last one.</summary>
    ContentImage? FrameAt(TimeSpan sinceStart, bool repeat);
}
