using StageView.Live.Terms;

namespace StageView.Live.Pictures;

/// <summary>Gives the moment to be drawn now, as bytes.</summary>
internal interface IMomentFeed
{
    /// <summary>Writes the newest moment into the buffer, which grows when it must; the length used.</summary>
    int Newest(ref byte[] buffer, out MomentHead head);

    /// <summary>The tables that moments of a version refer to.</summary>
    byte[] Tables(int version);

    /// <summary>Waits until something may have changed.</summary>
    void WaitForChange(TimeSpan most);

    /// <summary>The window shows a marker level.</summary>
    void ShownInWindow(ShownHead shown);

    /// <summary>The window was clicked; the line to show for it.</summary>
    string PickForWindow(Ray ray);

    /// <summary>Cameras of the rig, in the order of their keys.</summary>
    IReadOnlyList<CameraLine> Cameras { get; }

    string Name { get; }

    /// <summary>The worst of what is patched, or what stands in for the network, for a title; empty where all is heard.</summary>
    string Worst { get; }
}
